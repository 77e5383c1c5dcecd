using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>A lawn's year and morning as they stand at this moment, from what the service keeps; nothing is stored.</summary>
public sealed class LawnToday(TurfStore store, ICellWeather source, TimeProvider clock)
{
    /// <summary>The year of a lawn with its journal of now.</summary>
    public async Task<LawnYear> YearAsync(Lawn lawn, CancellationToken cancel)
    {
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        var cell = await store.Cells.FindByZipAsync(lawn.Place.Zip, cancel);
        var weather = cell is null
            ? NoWeather.WithoutCell(now)
            : await source.OfAsync(cell, now, cancel);
        var years = cell is null ? null : await store.Climates.LoadYearsAsync(cell.Id, cancel);
        var kept = new KeptSurfaces(store, cell, years);
        await kept.LoadAsync(lawn, cancel);
        var morning = new AssessMorning(cell, weather, now, kept.State);
        var record = await store.Journal.LoadAsync(lawn.Id, cancel);
        return new AssessSeason(
            morning,
            years?.Years,
            kept.Season,
            new Dictionary<SurfaceClass, SeasonOutlook>()
        ).Year(lawn, record, now.InZone(lawn.Place.Zone).Date);
    }

    /// <summary>The morning message as it would read now.</summary>
    public static Briefing Morning(LawnYear year) =>
        MorningBriefing.Build(year.Lawn, year.Record, year.Site, year.Weather, year.Now, year.Date);

    /// <summary>The feeding of the window that is open now; null when none is advised.</summary>
    public async Task<FeedPlan?> FeedingAsync(Lawn lawn, CancellationToken cancel)
    {
        var year = await YearAsync(lawn, cancel);
        var windows = SeasonCalendar.Of(year);
        return FeedPlan
            .Windows.Select(kind =>
                windows.FirstOrDefault(w =>
                    w.Kind == kind
                    && w.Standing is WindowStanding.Open or WindowStanding.ClosingSoon
                )
            )
            .Where(w => w?.AdvisedGM2 is not null)
            // What the messages say: the record and the law may leave less than the plan.
            .Select(w =>
                FeedPlan.Of(lawn, w!.Grass, w.Kind) with
                {
                    NitrogenGM2 = w.AdvisedGM2!.Value,
                }
            )
            .FirstOrDefault();
    }
}
