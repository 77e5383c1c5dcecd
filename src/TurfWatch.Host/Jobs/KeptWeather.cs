using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>The weather that the fetch sweep keeps; fetched at once when it is not recent.</summary>
public sealed class KeptWeather(
    TurfStore store,
    FetchSweep fetch,
    ClimateSweep climates,
    JobsOptions options
) : ICellWeather
{
    public async Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel)
    {
        var oldest = now - 2 * Duration.FromTimeSpan(options.FetchEvery);
        var recent =
            fetch.LastFetched(cell.Id) >= oldest
            || (fetch.MayTry(cell.Id) && await fetch.FetchAsync(cell, cancel));
        var kept = await store.WeatherHours.LoadAsync(
            cell.Id,
            now - FetchSweep.KeptPast,
            now + FetchSweep.KeptAhead,
            cancel
        );
        var told = recent
            ? kept
            : NoWeather.Age(kept, now, "the weather services could not be reached");
        return await climates.WithClimateAsync(cell.Id, told, cancel);
    }
}
