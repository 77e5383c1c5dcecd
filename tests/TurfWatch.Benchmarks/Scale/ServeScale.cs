using System.Diagnostics;
using TurfWatch.Testing;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>The service as a person starts it: how soon it is ready, what it takes when idle, how quick its pages are.</summary>
internal static class ServeScale
{
    private const int Starts = 5;
    private const int PerSecond = 200;
    private static readonly TimeSpan Idle = TimeSpan.FromSeconds(15);
    private static readonly TimeSpan Load = TimeSpan.FromSeconds(15);

    public static async Task RunAsync(string[] args)
    {
        var ready = new List<double>();
        for (var i = 0; i < Starts; i++)
        {
            await using var started = await ServiceProcess.StartAsync();
            ready.Add(started.ReadyAfter.TotalSeconds);
        }

        await using var service = await ServiceProcess.StartAsync();
        await Task.Delay(Idle);
        var idle = Machine.NowMiB(service.Id);
        await PageAsync(service, TimeSpan.FromSeconds(3)); // compiled by now
        var took = await PageAsync(service, Load);
        Console.WriteLine(
            $"  start to ready: least {ready.Min():0.00} s, median {ready.Order().ElementAt(Starts / 2):0.00} s of {Starts} (aim 1.5)\n"
                + $"  idle: {idle:0} MiB (aim 110)\n"
                + $"  sign-up page at {PerSecond}/s: median {At(took, 0.5):0.0} ms, p99 {At(took, 0.99):0.0} ms (aim 20), {took.Length} requests; memory after it {Machine.NowMiB(service.Id):0} MiB"
        );
    }

    /// <summary>Asks at a fixed rate, whether or not the last is answered; waiting for one's turn counts.</summary>
    private static async Task<double[]> PageAsync(ServiceProcess service, TimeSpan length)
    {
        var took = new double[(int)(PerSecond * length.TotalSeconds)];
        var start = Stopwatch.GetTimestamp();
        var asked = new Task[took.Length];
        for (var i = 0; i < took.Length; i++)
        {
            var due = TimeSpan.FromSeconds((double)i / PerSecond);
            var wait = due - Stopwatch.GetElapsedTime(start);
            if (wait > TimeSpan.Zero)
            {
                await Task.Delay(wait);
            }

            var at = i;
            var from = Stopwatch.GetTimestamp();
            asked[i] = Task.Run(async () =>
            {
                using var answer = await service.Http.GetAsync("join");
                answer.EnsureSuccessStatusCode();
                took[at] = Stopwatch.GetElapsedTime(from).TotalMilliseconds;
            });
        }

        await Task.WhenAll(asked);
        return [.. took.Order()];
    }

    private static double At(double[] ordered, double share) =>
        ordered[(int)((ordered.Length - 1) * share)];

    private sealed class ServiceProcess : IAsyncDisposable
    {
        private readonly ScratchFolder _folder = new();
        private readonly Process _process;

        private ServiceProcess()
        {
            var port = Machine.FreePort();
            var start = new ProcessStartInfo(
                "dotnet",
                [Path.Combine(AppContext.BaseDirectory, "turfwatch.dll"), "serve"]
            )
            {
                WorkingDirectory = _folder.Path,
                UseShellExecute = false,
                RedirectStandardOutput = true,
                RedirectStandardError = true,
            };
            foreach (
                var (key, value) in new[]
                {
                    ("Store__DataDirectory", _folder.Path),
                    ("Weather__Contact", "bench@example.org"),
                    // Nothing listens there, and the measurement needs no network.
                    ("Weather__Nws__BaseAddress", "http://127.0.0.1:9/"),
                    ("Weather__NasaPower__BaseAddress", "http://127.0.0.1:9/"),
                    ("Web__Listen", $"http://127.0.0.1:{port}"),
                }
            )
            {
                start.Environment["TurfWatch__" + key] = value;
            }

            // Its own file, and not the one that this machine may have in /etc.
            var file = Path.Combine(_folder.Path, "serve-process.json");
            File.WriteAllText(file, "{}");
            start.Environment["TURFWATCH_CONFIG"] = file;

            Http = new() { BaseAddress = new($"http://127.0.0.1:{port}/") };
            _process = Process.Start(start)!;
            _process.OutputDataReceived += (_, _) => { };
            _process.ErrorDataReceived += (_, _) => { };
            _process.BeginOutputReadLine();
            _process.BeginErrorReadLine();
        }

        public HttpClient Http { get; }

        public int Id => _process.Id;

        public TimeSpan ReadyAfter { get; private set; }

        public static async Task<ServiceProcess> StartAsync()
        {
            var start = Stopwatch.GetTimestamp();
            var service = new ServiceProcess();
            while (true)
            {
                try
                {
                    using var answer = await service.Http.GetAsync("health/ready");
                    if (answer.IsSuccessStatusCode)
                    {
                        service.ReadyAfter = Stopwatch.GetElapsedTime(start);
                        return service;
                    }
                }
                catch (HttpRequestException) when (!service._process.HasExited)
                {
                    // Not yet.
                }

                await Task.Delay(10);
            }
        }

        public async ValueTask DisposeAsync()
        {
            Http.Dispose();
            _process.Kill();
            await _process.WaitForExitAsync();
            _process.Dispose();
            _folder.Dispose();
        }
    }
}
