using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Demo;
using TurfWatch.Host.Jobs;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>
/// The invented weather of the demo's desert town in the store of a running service, past years too, so that a page has
/// something to show. The service's sweeps run once while its clock stands still: that comes first, or they would look up
/// the place and work out its day in the midst of the test.
/// </summary>
internal static class TownWeather
{
    private static readonly string[] Sweeps =
    [
        JobNames.Fetch,
        JobNames.Climate,
        JobNames.Morning,
        JobNames.Season,
    ];

    public static async Task KeepAsync(ServiceRig rig, Place place, Instant now)
    {
        var store = rig.Store;
        var cancel = TestContext.Current.CancellationToken;
        var town = DemoHousehold.All[0];
        var hour = Instant.FromUnixTimeSeconds(now.ToUnixTimeSeconds() / 3600 * 3600);
        var cell = new WeatherCell
        {
            Id = "town",
            LatitudeDeg = place.LatitudeDeg,
            LongitudeDeg = place.LongitudeDeg,
            ElevationM = 700,
            ResolvedAt = now,
        };
        await Wait.UntilAsync(() => Sweeps.All(sweep => rig.Health.LastTick(sweep) is not null));
        await store.Cells.SaveAsync(cell, place.Zip, cancel);
        await store.WeatherHours.SaveAsync(
            cell.Id,
            InventedYear.Draw(town.Climate, place, hour - Duration.FromDays(60), 68 * 24, 1),
            cancel
        );
        var years = InventedPast.Years(town, 2026);
        await store.Climates.SaveAsync(cell.Id, InventedPast.Climate(years), years, cancel);
    }
}
