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
        var renewed = await fetch.RenewAsync(cell, oldest, cancel);
        var serving = renewed ?? cell;
        var kept = await store.WeatherHours.LoadAsync(
            serving.Id,
            now - FetchSweep.KeptPast,
            now + FetchSweep.KeptAhead,
            cancel
        );
        var told = renewed is not null
            ? kept
            : NoWeather.Age(kept, now, "the weather services could not be reached");
        return await climates.WithClimateAsync(serving.Id, told, cancel);
    }
}
