using System.Diagnostics;
using Dapper;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>
/// One minute's mornings of a whole region, weather and soil states in the store already: planned, worked out, composed and
/// committed to the outbox. Each size in a process of its own, whose peak memory is told.
/// </summary>
internal static class MorningScale
{
    private const int LawnsInCell = 20;
    private const int Templates = 16;

    private static readonly StandingClock Clock = new(Ware.Now);

    public static async Task RunAsync(string[] args)
    {
        switch (args)
        {
            case [var lawns]:
                await OnceAsync(int.Parse(lawns));
                break;
            case [var lawns, var folder]:
                await PrepareAsync(new() { DataDirectory = folder }, Clock, int.Parse(lawns));
                break;
            default:
                foreach (var lawns in new[] { 1_000, 10_000, 100_000 })
                {
                    await ApartAsync($"{lawns}");
                }

                break;
        }
    }

    /// <summary>Runs this part again with these arguments, in a process of its own.</summary>
    private static async Task ApartAsync(params string[] args)
    {
        using var process = Process.Start(
            "dotnet",
            [typeof(MorningScale).Assembly.Location, "scale", "morning", .. args]
        );
        await process.WaitForExitAsync();
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException(
                $"scale morning {string.Join(' ', args)} ended with {process.ExitCode}"
            );
        }
    }

    private static async Task OnceAsync(int lawns)
    {
        using var folder = new DiskFolder();
        var options = new StoreOptions { DataDirectory = folder.Path };
        // Apart, so that the memory it takes is not counted.
        await ApartAsync($"{lawns}", folder.Path);
        var kept = Megabytes(folder.Path);
        var before = Machine.NowMiB();
        await using var store = await TurfStore.OpenAsync(options, Clock, default);
        var sweep = Sweep(store, Clock, folder.Path);
        var used = Environment.CpuUsage.TotalTime;
        var start = Stopwatch.GetTimestamp();
        await sweep.RunAsync(default);
        var took = Stopwatch.GetElapsedTime(start).TotalSeconds;
        var processor = (Environment.CpuUsage.TotalTime - used).TotalSeconds;
        var peak = Machine.PeakMiB();
        var made = Count(options, "SELECT count(*) FROM outbox WHERE state = 'Queued'");
        if (made != lawns)
        {
            throw new InvalidOperationException($"{made} of {lawns} mornings were made");
        }

        Console.WriteLine(
            $"  {Machine.Number(lawns), 9} lawns in {Machine.Number(lawns / LawnsInCell), 6} cells: {took, 6:0.0} s by the clock, {processor, 6:0.0} s of processor; "
                + $"{processor * 1000 / lawns:0.00} ms a message; memory {before:0} before, at most {peak:0} MiB; "
                + $"disk {kept:0} MB before, {Megabytes(folder.Path):0} MB after"
        );
    }

    private static MorningSweep Sweep(TurfStore store, TimeProvider clock, string folder) =>
        new(
            store,
            new MessageComposer(Ware.Sender, LinkTokens.Open(folder)),
            new StoredWeather(store),
            new JobsOptions(),
            clock,
            NullLogger<MorningSweep>.Instance
        );

    /// <summary>One cell by the front door, with a morning gone by so that its soil states are kept; then copies of it in SQL.</summary>
    private static async Task PrepareAsync(StoreOptions options, TimeProvider clock, int lawns)
    {
        var cell = new WeatherCell
        {
            Id = "cell-0",
            LatitudeDeg = 38,
            LongitudeDeg = -84.5,
            ElevationM = 300,
            ResolvedAt = Ware.Now,
        };
        await using (var store = await TurfStore.OpenAsync(options, clock, default))
        {
            await store.Cells.SaveAsync(cell, "00000", default);
            await store.WeatherHours.SaveAsync(cell.Id, Ware.Weather(0), default);
            for (var i = 0; i < Templates; i++)
            {
                await store.Subscribers.AddAsync(
                    $"t{i}@example.com",
                    Ware.Lawn(i, "00000"),
                    default
                );
            }

            await Sweep(store, clock, options.DataDirectory).RunAsync(default);
        }

        using var connection = Open(options);
        // Nothing to lose: no log is written of the copies.
        connection.Execute(
            "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -65536; DELETE FROM outbox; DELETE FROM outbox_content;"
        );
        connection.Execute(
            """
            CREATE TEMP TABLE n AS WITH RECURSIVE s(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM s WHERE i < @cells) SELECT i FROM s;
            INSERT INTO cell SELECT 'cell-' || i, replace(profile, 'cell-0', 'cell-' || i), outlook, outlook_at FROM n, cell WHERE id = 'cell-0';
            INSERT INTO zip_cell SELECT printf('%05d', i), 'cell-' || i FROM n;
            INSERT INTO weather_day SELECT 'cell-' || i, day, kind, hours FROM n, weather_day WHERE cell_id = 'cell-0';
            INSERT INTO site_state SELECT 'cell-' || i, surface_key, valid_at, body FROM n, site_state WHERE cell_id = 'cell-0';
            """,
            new { cells = lawns / LawnsInCell }
        );
        // The lawns of a cell are not neighbours in the list: people join as they come.
        connection.Execute(
            $"""
            CREATE TEMP TABLE m AS WITH RECURSIVE s(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM s WHERE i < @lawns - 1) SELECT i FROM s;
            CREATE TEMP TABLE sub AS SELECT * FROM subscriber;
            CREATE TEMP TABLE law AS SELECT * FROM lawn;
            DELETE FROM lawn; DELETE FROM subscriber;
            INSERT INTO subscriber (id, email, email_key, status, status_at, created_at)
                SELECT i + 1, 'p' || i || '@example.com', 'p' || i || '@example.com', 'Active', 0, 0 FROM m;
            INSERT INTO lawn (subscriber_id, zip, zone_id, message_second, profile, created_at, mornings_from)
                SELECT i + 1, printf('%05d', 1 + i % @cells), zone_id, message_second,
                    replace(profile, '"00000"', '"' || printf('%05d', 1 + i % @cells) || '"'), 0, @joined
                FROM m JOIN law ON law.subscriber_id = 1 + (i / @cells + i) % {Templates};
            """,
            new
            {
                lawns,
                cells = lawns / LawnsInCell,
                // After yesterday's morning, so that only today's is owed.
                joined = (Ware.Due - Duration.FromHours(1)).ToUnixTimeMilliseconds(),
            }
        );
    }

    private static double Megabytes(string folder) =>
        new DirectoryInfo(folder).EnumerateFiles().Sum(f => f.Length) / 1e6;

    private static long Count(StoreOptions options, string sql)
    {
        using var connection = Open(options);
        return connection.ExecuteScalar<long>(sql);
    }

    private static SqliteConnection Open(StoreOptions options)
    {
        var connection = new SqliteConnection(
            $"Data Source={Path.Combine(options.DataDirectory, "turfwatch.db")};Pooling=False"
        );
        connection.Open();
        return connection;
    }

    private sealed class StoredWeather(TurfStore store) : ICellWeather
    {
        public Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel) =>
            store.WeatherHours.LoadAsync(
                cell.Id,
                now - FetchSweep.KeptPast,
                now + FetchSweep.KeptAhead,
                cancel
            );
    }

    private sealed class StandingClock(Instant now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now.ToDateTimeOffset();
    }
}
