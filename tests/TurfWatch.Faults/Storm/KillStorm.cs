using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Faults.Judging;
using TurfWatch.Testing;

namespace TurfWatch.Faults.Storm;

/// <summary>
/// Workers that send while they are killed, stopped and woken at random, before a relay that is busy, greylists and
/// answers late (fault P1 and most of the others at once).
/// </summary>
internal sealed class KillStorm(TimeSpan length, int seed, int workers, int rows, bool sqlite)
{
    private static readonly MessageKind[] Kinds =
    [
        MessageKind.Morning,
        MessageKind.Digest,
        MessageKind.Morning,
        MessageKind.Alert,
        MessageKind.Morning,
        MessageKind.Receipt,
    ];

    /// <summary>The shortest that the program allows.</summary>
    private static readonly Duration Lease = Duration.FromSeconds(30);

    private readonly Random _chance = new(seed);
    private readonly List<Task> _waking = [];
    private int _kills;
    private int _pauses;

    /// <summary>Runs it; whether every promise held.</summary>
    public async Task<bool> RunAsync()
    {
        Say(
            $"seed {seed}, {workers} worker(s) on {(sqlite ? "SQLite" : "PostgreSQL")}, {rows} rows, {length}"
        );
        await using var server = sqlite
            ? null
            : await PostgresServer.StartAsync(CancellationToken.None, durable: true);
        await using var rig = FaultRig.Start("P1 kill storm");
        if (server is not null)
        {
            var database = await server.NewDatabaseAsync(CancellationToken.None);
            rig.StoreOptions.Postgres = server.ConnectionString(database);
        }

        rig.RelayDoes(Relay);
        await OweAsync(rig);
        Say("everything is owed; the storm begins");
        var crew = new Crew(rig, workers);
        await StormAsync(rig, crew);

        rig.RelayDoes(SmtpScript.Healthy);
        rig.FaultEnds();
        Say("the storm is over; the rest is sent");
        await Task.WhenAll(_waking);
        crew.Revive();
        var verdict = await DrainAsync(rig, crew);
        await crew.StopAsync();
        Say(
            $"seed {seed}, {_kills} kills, {_pauses} pauses, {crew.Deaths} other deaths: {verdict}"
        );
        return verdict.Breaches.IsEmpty && crew.Deaths == 0;
    }

    /// <summary>Nine in ten are rows of all kinds that come due all along; the others are mornings that the program makes itself.</summary>
    private async Task OweAsync(FaultRig rig)
    {
        var start = FaultRig.Now;
        await rig.QueueAsync(
            rows - (rows / 10),
            start,
            start + Duration.FromHours(3),
            Duration.FromTimeSpan(length * 0.9),
            Kinds
        );
        var minutes = Math.Max(1, (int)(length.TotalMinutes * 0.8));
        for (var minute = 0; minute < minutes; minute++)
        {
            var share = (rows / 10 * (minute + 1) / minutes) - (rows / 10 * minute / minutes);
            await rig.OweMorningsAsync(share, Duration.FromMinutes(150), minute);
        }
    }

    private async Task StormAsync(FaultRig rig, Crew crew)
    {
        var started = TimeProvider.System.GetTimestamp();
        var nextLine = TimeSpan.FromSeconds(10);
        while (TimeProvider.System.GetElapsedTime(started) is var elapsed && elapsed < length)
        {
            await Task.Delay(TimeSpan.FromSeconds(0.2 + (_chance.NextDouble() * 2.8)));
            var one = _chance.Next(workers);
            var dice = _chance.NextDouble();
            if (dice < 0.75)
            {
                _kills++;
                await crew.KillAsync(one);
            }
            else
            {
                // One in five outlasts the lease: it wakes to rows that others hold.
                _pauses++;
                var longer = dice > 0.95 && !sqlite;
                _waking.Add(
                    crew.PauseAsync(
                        one,
                        longer
                            ? Lease.ToTimeSpan() + TimeSpan.FromSeconds(5)
                            : TimeSpan.FromSeconds(0.5 + (_chance.NextDouble() * 3))
                    )
                );
            }

            crew.Revive();
            if (elapsed > nextLine)
            {
                nextLine += TimeSpan.FromSeconds(10);
                Say(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{elapsed.TotalSeconds:0} s: {_kills} kills, {_pauses} pauses, {rig.Relay.TakenCount} taken, {rig.Relay.Connections} connections"
                    )
                );
            }
        }
    }

    private async Task<Verdict> DrainAsync(FaultRig rig, Crew crew)
    {
        // Rows of killed workers that were in their transaction may stay so for the sending lease, which is 15 minutes at
        // least. All the others must come to an end within the lease and a minute.
        await crew.UntilAsync(async () =>
            await rig.CountAsync(OutboxState.Queued) == 0
            && await rig.CountAsync(OutboxState.Claimed) == 0
        );
        rig.Settled();
        var held = await rig.CountAsync(OutboxState.Sending);
        if (held > 0)
        {
            Say(
                $"{held} rows are in a dead worker's transaction: their leases are made to lapse now"
            );
            await rig.LapseSendingAsync();
        }

        await crew.UntilAsync(rig.IsSettledAsync);
        return await rig.WeighAsync(Lease + Duration.FromMinutes(1), triesAtMost: 30);
    }

    /// <summary>One connection in ten is turned away, one address in fifteen is told to come again, and every answer is late.</summary>
    private SmtpScript Relay(int connection)
    {
        var dice = new Random(HashCode.Combine(seed, connection));
        if (dice.Next(10) == 0)
        {
            return SmtpScript.Healthy.With(
                dice.Next(2) == 0 ? SmtpStep.Connect : SmtpStep.Mail,
                SmtpFault.Say("421 4.3.2 busy", close: true)
            );
        }

        return SmtpScript
            .Healthy.With(
                SmtpStep.Rcpt,
                SmtpFault.Say("451 4.7.1 Greylisted, try again later") with
                {
                    If = _ => dice.Next(15) == 0,
                }
            )
            .With(
                SmtpStep.Dot,
                SmtpFault.Late(TimeSpan.FromMilliseconds(dice.Next(50, 200))) with
                {
                    TakeFirst = true,
                }
            );
    }

    private static void Say(string line) =>
        Console.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{TimeProvider.System.GetUtcNow():HH:mm:ss} {line}"
            )
        );
}
