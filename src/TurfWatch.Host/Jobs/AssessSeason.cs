using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Jobs;

/// <summary>What is kept of a surface class beside its state.</summary>
/// <param name="Days">The days of this year that were worked out before; null when there are none.</param>
/// <param name="Soil">The soil of the past years; null when it has not been worked out.</param>
internal sealed record KeptSeason(SiteDays? Days, SiteDays? Soil);

/// <summary>
/// The pure middle of the season, for the lawns of one cell: the morning's site conditions and the past years in, the
/// lawn's year out. Lawns of one surface class share days, past soil and outlook.
/// </summary>
/// <param name="morning">The cell's conditions of today.</param>
/// <param name="years">Its past years; null when they are not known.</param>
/// <param name="kept">What is kept of a surface class.</param>
/// <param name="outlooks">Outlooks of the same day that are there already; new ones are added.</param>
internal sealed class AssessSeason(
    AssessMorning morning,
    PastYears? years,
    Func<SurfaceClass, KeptSeason> kept,
    IDictionary<SurfaceClass, SeasonOutlook> outlooks
)
{
    /// <summary>Days of the year so far that are kept and looked back on.</summary>
    public const int DaysBack = 400;

    private readonly List<(SurfaceClass Surface, SiteDays Days)> _days = [];
    private readonly List<(SurfaceClass Surface, SiteDays Days)> _soils = [];

    /// <summary>The days so far to keep in place of the former ones.</summary>
    public IReadOnlyList<(SurfaceClass Surface, SiteDays Days)> NewDays => _days;

    /// <summary>Past soil that was worked out and is to be kept.</summary>
    public IReadOnlyList<(SurfaceClass Surface, SiteDays Days)> NewSoils => _soils;

    public LawnYear Year(Lawn lawn, LawnRecord record, LocalDate date)
    {
        var site = morning.SiteOf(lawn, record, date);
        return new()
        {
            Lawn = lawn,
            Record = record,
            Outlook = OutlookOf(lawn, site, date),
            Site = site.Own,
            Weather = morning.Weather,
            Now = morning.Now,
            Date = date,
        };
    }

    private SeasonOutlook OutlookOf(Lawn lawn, LawnSite site, LocalDate date)
    {
        if (outlooks.TryGetValue(site.Surface, out var known) && known.Today == date)
        {
            return known;
        }

        var description = morning.Describe(lawn.Place);
        var zone = lawn.Place.Zone;
        var outlook = OutlookMaker.Make(
            description,
            site.Surface,
            zone,
            date,
            DaysSoFar(lawn, site, date),
            site.State,
            morning.Weather.Hours,
            years,
            SoilOf(description, site.Surface, zone)
        );
        outlooks[site.Surface] = outlook;
        return outlook;
    }

    /// <summary>
    /// The freshest word on each day stands: today's run, then what was kept of this class, then of the other canopy
    /// that the lawn wore earlier in the year.
    /// </summary>
    private SiteDays DaysSoFar(Lawn lawn, LawnSite site, LocalDate date)
    {
        var days = SiteDaysOf.Conditions(site.Shared, lawn.Place.Zone);
        var own = kept(site.Surface).Days;
        var joined = Cut(own is null ? days : days.Over(own), date);
        _days.Add((site.Surface, joined));
        return Cut(
            AssessMorning
                .Candidates(lawn)
                .Where(surface => surface != site.Surface)
                .OrderBy(surface => surface.WarmSeason == site.Surface.WarmSeason ? 0 : 1)
                .Select(surface => kept(surface).Days)
                .OfType<SiteDays>()
                .Aggregate(joined, (above, below) => above.Over(below)),
            date
        );
    }

    private static SiteDays Cut(SiteDays days, LocalDate today) =>
        days.Slice(today.PlusDays(-DaysBack), today);

    private SiteDays? SoilOf(SiteDescription description, SurfaceClass surface, DateTimeZone zone)
    {
        if (kept(surface).Soil is { } known)
        {
            return known;
        }

        if (years is null)
        {
            return null;
        }

        var soil = PastSoil.Run(description, surface, zone, years);
        _soils.Add((surface, soil));
        return soil;
    }
}
