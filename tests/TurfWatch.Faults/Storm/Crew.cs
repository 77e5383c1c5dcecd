using TurfWatch.Testing;

namespace TurfWatch.Faults.Storm;

/// <summary>The workers of a storm: each place is filled again when its process is gone.</summary>
internal sealed class Crew
{
    private static readonly (string Key, string Value)[] Settings =
    [
        ("Delivery:Lease", "00:00:30"),
        ("Delivery:SendingLease", "00:15:00"),
        ("Delivery:Batch", "20"),
        ("Delivery:MaxClaims", "100"),
        ("Jobs:MorningLate", "02:30:00"),
    ];

    private readonly FaultRig _rig;
    private readonly ServeProcess?[] _workers;
    private readonly bool[] _killed;
    private readonly Lock _gate = new();

    public Crew(FaultRig rig, int count)
    {
        (_rig, _workers, _killed) = (rig, new ServeProcess?[count], new bool[count]);
        Revive();
    }

    /// <summary>Processes that ended though nobody killed them.</summary>
    public int Deaths { get; private set; }

    /// <summary>Starts a process at each place where none runs.</summary>
    public void Revive()
    {
        lock (_gate)
        {
            for (var i = 0; i < _workers.Length; i++)
            {
                if (_workers[i] is { HasExited: false })
                {
                    continue;
                }

                if (_workers[i] is { } dead && !_killed[i])
                {
                    Deaths++;
                    Console.WriteLine($"a worker ended by itself:\n{dead.Log}");
                }

                (_workers[i], _killed[i]) = (_rig.Serve(Settings), false);
            }
        }
    }

    public async Task KillAsync(int place)
    {
        ServeProcess? worker;
        lock (_gate)
        {
            worker = _workers[place];
            _killed[place] = true;
        }

        if (worker is { HasExited: false })
        {
            await worker.KillAsync();
        }
    }

    /// <summary>SIGSTOP, and SIGCONT after a while, if it was not killed meanwhile.</summary>
    public async Task PauseAsync(int place, TimeSpan time)
    {
        var worker = _workers[place]!;
        if (worker.HasExited)
        {
            return;
        }

        worker.Pause();
        await Task.Delay(time);
        if (!worker.HasExited)
        {
            worker.Resume();
        }
    }

    public async Task UntilAsync(Func<Task<bool>> done)
    {
        var started = TimeProvider.System.GetTimestamp();
        while (!await done())
        {
            if (TimeProvider.System.GetElapsedTime(started) > TimeSpan.FromMinutes(5))
            {
                Console.WriteLine("not done within 5 minutes; what there is is judged");
                return;
            }

            Revive();
            await Task.Delay(500);
        }
    }

    public async Task StopAsync()
    {
        foreach (var worker in _workers)
        {
            await worker!.StopAsync();
        }
    }
}
