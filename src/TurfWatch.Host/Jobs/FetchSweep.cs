using System.Collections.Concurrent;
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

    private readonly ConcurrentDictionary<string, Instant> _nextByKey = new(StringComparer.Ordinal);

    private readonly ConcurrentDictionary<string, Instant> _fetched = new(StringComparer.Ordinal);

    /// <summary>Of each cell in use, when its weather was last new, or when it was first wanted in vain.</summary>
    private readonly ConcurrentDictionary<string, Instant> _dataSince = new(StringComparer.Ordinal);

    /// <summary>Since when the cell that was longest without new weather has had none; null while nothing was fetched yet.</summary>
    public Instant? OldestData => _dataSince.IsEmpty ? null : _dataSince.Values.Min();

    /// <summary>When a cell was last fetched with success, as far as this process knows.</summary>
    public Instant? LastFetched(string cellId) =>
        _fetched.TryGetValue(cellId, out var at) ? at : null;

    /// <summary>Whether a cell is due, not put off after a failure.</summary>
    public bool MayTry(string cellId) => IsDue(cellId, Now());

    public async Task RunAsync(CancellationToken cancel)
    {
        await ResolveNewPlacesAsync(cancel);
        var now = Now();
        var inUse = await store.Cells.InUseAsync(cancel);
        foreach (
            var gone in _dataSince.Keys.Except(inUse.Select(c => c.Id), StringComparer.Ordinal)
        )
        {
            _dataSince.TryRemove(gone, out _);
        }

        var due = inUse.Where(c => IsDue(c.Id, now)).ToList();
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
                if (await FetchAsync(cell, ct) is null)
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

    /// <summary>Fetches one cell now; the cell that serves its lawns since, mostly the same, or null when it could not be done.</summary>
    public async Task<WeatherCell?> FetchAsync(WeatherCell cell, CancellationToken cancel)
    {
        var now = Now();
        _dataSince.TryAdd(cell.Id, now);
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
            var weather = await desk.FetchAsync(current, kept.Hours, cancel);
            await store.WeatherHours.SaveAsync(current.Id, weather, cancel);
            return Judge(current, weather, now) ? current : null;
        }
        catch (Exception e) when (e is WeatherSourceException or StoreException)
        {
            span.Failed(e.Message);
            Postpone(cell.Id, e.Message);
            return null;
        }
        catch (Exception e)
            when (e is not OperationCanceledException || !cancel.IsCancellationRequested)
        {
            // A defect met in one cell's data must not keep the others from their weather.
            span.Failed(e.Message);
            Broken(log, cell.Id, e);
            Postpone(cell.Id, e.Message);
            return null;
        }
    }

    private bool Judge(WeatherCell cell, CellWeather weather, Instant now)
    {
        if (weather.Note(DataSubject.Forecast) is { Standing: DataStanding.Missing } missing)
        {
            Postpone(cell.Id, missing.Reason ?? "no forecast");
            return false;
        }

        _fetched[cell.Id] = now;
        _dataSince[cell.Id] = now;
        _nextByKey[cell.Id] =
            now + Duration.FromTimeSpan(options.FetchEvery) + Jitter(cell.Id, now);
        Fetched(log, cell.Id, Known(weather.Hours));
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
            if (!IsDue(key, Now()))
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
                Postpone(key, e.Message);
            }
        }
    }

    private bool IsDue(string key, Instant now) =>
        !_nextByKey.TryGetValue(key, out var next) || next <= now;

    private void Postpone(string key, string reason)
    {
        _nextByKey[key] = Now() + Duration.FromTimeSpan(options.FetchRetry) + Jitter(key, Now());
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

    [LoggerMessage(LogLevel.Error, "A defect showed while fetching {Cell}")]
    private static partial void Broken(ILogger log, string cell, Exception e);
}
