using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Telemetry;
using TurfWatch.Host.Web;
using TurfWatch.Store;
using TurfWatch.Weather;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Fetches the weather of each cell in use when it is due, once for all lawns in the cell, and keeps
/// every hour. A cell that fails is tried again later and stops no other.
/// </summary>
public sealed partial class FetchSweep(
    TurfStore store,
    WeatherDesk desk,
    JobsOptions options,
    HealthBoard health,
    TimeProvider clock,
    ILogger<FetchSweep> log
)
{
    /// <summary>Weather from this long ago is handed to the services' desk, so that it asks only for what is missing.</summary>
    public static readonly Duration KeptPast = Duration.FromDays(95);

    public static readonly Duration KeptAhead = Duration.FromDays(10);

    // A fetch takes seconds; one that began this long ago and has not ended died with its worker.
    private static readonly Duration FetchTakes = Duration.FromMinutes(1);

    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(200);

    public async Task RunAsync(CancellationToken cancel)
    {
        await ResolveNewPlacesAsync(cancel);
        var now = Now();
        var putOff = await store.Fetches.PutOffAsync(now, cancel);
        var due = (await store.Cells.InUseAsync(cancel))
            .Where(c => !putOff.Contains(c.Id))
            .ToList();
        var failed = 0;
        await Parallel.ForEachAsync(
            due,
            new ParallelOptions
            {
                MaxDegreeOfParallelism = options.FetchParallel,
                CancellationToken = cancel,
            },
            async (cell, ct) =>
            {
                if (await BeginAsync(cell.Id, ct) && await FetchAsync(cell, ct) is null)
                {
                    Interlocked.Increment(ref failed);
                }
            }
        );
        if (due.Count > 0 && failed == 0)
        {
            health.Well(HealthAreas.Weather);
        }
    }

    /// <summary>
    /// Fetches a cell if its weather is older than that and it is not put off after a failure; waits when another worker, or the sweep,
    /// is at it. The cell that serves its lawns since, mostly the same; null when there is nothing as new.
    /// </summary>
    public async Task<WeatherCell?> RenewAsync(
        WeatherCell cell,
        Instant oldest,
        CancellationToken cancel
    )
    {
        if ((await store.Fetches.OfAsync(cell.Id, cancel)).FetchedAt >= oldest)
        {
            return cell;
        }

        if (await BeginAsync(cell.Id, cancel))
        {
            return await FetchAsync(cell, cancel);
        }

        while (true)
        {
            var standing = await store.Fetches.OfAsync(cell.Id, cancel);
            if (standing.FetchedAt >= oldest)
            {
                return cell;
            }

            if (standing.BegunAt is not { } begun || Now() - begun > FetchTakes)
            {
                return null;
            }

            await Task.Delay(LookAgain, cancel);
        }
    }

    /// <summary>Whether it is due and nobody else is at it.</summary>
    private Task<bool> BeginAsync(string key, CancellationToken cancel) =>
        store.Fetches.TryBeginAsync(
            key,
            Now(),
            Now() + Duration.FromTimeSpan(options.FetchRetry),
            cancel
        );

    private async Task<WeatherCell?> FetchAsync(WeatherCell cell, CancellationToken cancel)
    {
        var now = Now();
        using var span = ServiceTraces.Start("fetch", cell.Id);
        try
        {
            var current = await CurrentAsync(cell, cancel);
            var kept = await store.WeatherHours.LoadAsync(
                current.Id,
                now - KeptPast,
                now + KeptAhead,
                cancel
            );
            var lost = LostDays.Of(kept);
            if (lost.Any)
            {
                foreach (var what in await store.WeatherHours.DropDamagedAsync(current.Id, cancel))
                {
                    Damaged(log, current.Id, what);
                }
            }

            var weather = lost.StillIn(
                await desk.FetchAsync(current, kept.Hours, cancel, lost.ReportsSince)
            );
            await store.WeatherHours.SaveAsync(current.Id, weather, cancel);
            return await JudgeAsync(cell, current, weather, now, cancel) ? current : null;
        }
        catch (Exception e) when (e is WeatherSourceException or StoreException)
        {
            span.Failed(e.Message);
            await PostponeAsync(cell.Id, e.Message, cancel);
            return null;
        }
        catch (Exception e)
            when (e is not OperationCanceledException || !cancel.IsCancellationRequested)
        {
            // A defect met in one cell's data must not keep the others from their weather.
            span.Failed(e.Message);
            Broken(log, cell.Id, e);
            await PostponeAsync(cell.Id, e.Message, cancel);
            return null;
        }
    }

    private async Task<bool> JudgeAsync(
        WeatherCell asked,
        WeatherCell serving,
        CellWeather weather,
        Instant now,
        CancellationToken cancel
    )
    {
        if (weather.Note(DataSubject.Forecast) is { Standing: DataStanding.Missing } missing)
        {
            await PostponeAsync(asked.Id, missing.Reason ?? "no forecast", cancel);
            return false;
        }

        var next = now + Duration.FromTimeSpan(options.FetchEvery) + Jitter(serving.Id, now);
        await store.Fetches.EndAsync(serving.Id, next, now, cancel);
        if (!string.Equals(asked.Id, serving.Id, StringComparison.Ordinal))
        {
            await store.Fetches.EndAsync(asked.Id, next, null, cancel);
        }

        Fetched(log, serving.Id, Known(weather.Hours));
        return true;
    }

    private async Task<WeatherCell> CurrentAsync(WeatherCell cell, CancellationToken cancel)
    {
        if (!desk.IsDue(cell))
        {
            return cell;
        }

        // The services move their grids now and then; each ZIP code is asked for anew.
        var current = cell;
        var lawns = await store.Cells.LawnsAsync(cell.Id, cancel);
        foreach (
            var place in lawns.Select(l => l.Place).DistinctBy(p => p.Zip, StringComparer.Ordinal)
        )
        {
            current = await desk.ResolveAsync(place, cell, cancel);
            await store.Cells.SaveAsync(current, place.Zip, cancel);
        }

        return current;
    }

    private async Task ResolveNewPlacesAsync(CancellationToken cancel)
    {
        foreach (var place in await store.Cells.PlacesWithoutCellAsync(cancel))
        {
            var key = "zip:" + place.Zip;
            if (!await BeginAsync(key, cancel))
            {
                continue;
            }

            try
            {
                var cell = await desk.ResolveAsync(place, null, cancel);
                await store.Cells.SaveAsync(cell, place.Zip, cancel);
            }
            catch (WeatherSourceException e)
            {
                await PostponeAsync(key, e.Message, cancel);
            }
        }
    }

    private async Task PostponeAsync(string key, string reason, CancellationToken cancel)
    {
        var next = Now() + Duration.FromTimeSpan(options.FetchRetry) + Jitter(key, Now());
        try
        {
            await store.Fetches.EndAsync(key, next, null, cancel);
        }
        catch (StoreException)
        {
            // The store is what failed, then; the beginning of the fetch put it off as long already.
        }

        var again =
            $"It is tried again by itself after {options.FetchRetry:c}; turfwatch check says more.";
        health.Trouble(HealthAreas.Weather, $"{key}: {reason.TrimEnd('.')}. {again}");
        Failed(log, key, reason.TrimEnd('.'));
    }

    /// <summary>The same cell at the same hour is always put off by the same span: spread, and testable.</summary>
    private Duration Jitter(string key, Instant now)
    {
        var hash = 17u;
        foreach (var c in key)
        {
            hash = (hash * 31) + c;
        }

        hash = (hash * 31) + (uint)(now.ToUnixTimeSeconds() / 3600);
        return Duration.FromTimeSpan(options.FetchJitter * (hash % 1000 / 1000.0));
    }

    private Instant Now() => Instant.FromDateTimeOffset(clock.GetUtcNow());

    private static int Known(WeatherSeries hours)
    {
        var known = 0;
        foreach (var air in hours[WeatherColumn.AirTemperatureC])
        {
            known += double.IsNaN(air) ? 0 : 1;
        }

        return known;
    }

    [LoggerMessage(LogLevel.Information, "Weather of {Cell}: {Hours} hours known")]
    private static partial void Fetched(ILogger log, string cell, int hours);

    [LoggerMessage(LogLevel.Warning, "No weather for {Cell}: {Why}; it is tried again later")]
    private static partial void Failed(ILogger log, string cell, string why);

    [LoggerMessage(
        LogLevel.Warning,
        "A kept day of {Cell} was dropped and is fetched again: {What}"
    )]
    private static partial void Damaged(ILogger log, string cell, string what);

    [LoggerMessage(LogLevel.Error, "A defect showed while fetching {Cell}")]
    private static partial void Broken(ILogger log, string cell, Exception e);
}
