using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>
/// The season outlook by the extended streamflow method: the soil as it is today goes on under the forecast and then
/// under the weather of each past year from the same calendar day (Day 1985, J. Water Resour. Plan. Manage. 111:157).
/// </summary>
/// <remarks>
/// The physics is run for two months; by then the soil has forgotten today (a difference of 5 °C is under 0.75 °C), and the past
/// year's own run takes its place, what is left of the difference fading in a month. A past year that ends, or has holes,
/// is gone on with by the next one. 29 February of a year without one is its 28th. Method, limits, skill: docs/science/season-outlook.md.
/// </remarks>
public static class OutlookMaker
{
    /// <summary>Days of each course.</summary>
    public const int DaysAhead = 365;

    /// <summary>Days of the year so far that are kept.</summary>
    public const int DaysBefore = 400;

    // Where nothing is known of the year so far, this many days before today are taken from past years.
    private const int BorrowedDays = 300;

    // Daily error of the model at four stations is 1.0 to 1.3 °C; with this the ranges held 107 of 128 dates in the hindcast.
    private const double SoilErrorC = 1.2;

    private const int PhysicsDays = 60;
    private const double FadeDays = 30;
    private const double KnownShare = 0.95;

    /// <summary>Makes it.</summary>
    /// <param name="site">Where it is.</param>
    /// <param name="surface">What the lawn is today.</param>
    /// <param name="zone">Time zone of the place.</param>
    /// <param name="today">The local date.</param>
    /// <param name="past">The days that were; may be none.</param>
    /// <param name="stateNow">The soil to go on from; null when it is not known.</param>
    /// <param name="weather">Hours from the state on, and the forecast.</param>
    /// <param name="years">Past years' weather; null gives an outlook without courses.</param>
    /// <param name="pastSoil">What <see cref="PastSoil"/> made of it; null is computed, which takes about half a second for twenty years.</param>
    public static SeasonOutlook Make(
        SiteDescription site,
        SurfaceClass surface,
        DateTimeZone zone,
        LocalDate today,
        SiteDays past,
        SiteState? stateNow,
        WeatherSeries weather,
        PastYears? years,
        SiteDays? pastSoil
    )
    {
        var start = stateNow is null
            ? null
            : OutlookStart.Make(site, surface, zone, today, stateNow, weather);
        var known = past.Slice(today.PlusDays(-DaysBefore), today);
        var outlook = new SeasonOutlook
        {
            Today = today,
            Basis = start is null ? OutlookBasis.ClimateAlone : OutlookBasis.ThisYear,
            ForecastDays = 0,
            Past = known,
            Traces = [],
            SoilErrorC = SoilErrorC,
        };
        if (years is null || years.Days.IsEmpty)
        {
            return outlook;
        }

        pastSoil ??= PastSoil.Run(site, surface, zone, years);
        var source = new PastCalendar(years, pastSoil, today);
        var shifts = source.Shifts(PhysicsDays, KnownShare);
        var traces = ImmutableArray.CreateBuilder<OutlookTrace>(shifts.Count);
        var run = new DailyRun(site, surface);
        for (var k = 0; k < shifts.Count; k++)
        {
            var days = source.Days(shifts, k, today, DaysAhead);
            if (start is not null)
            {
                var warmer = OutlookStart.Deviate(k, shifts.Count);
                Lay(days, start.Run(run, source.Weather(shifts, k, start, PhysicsDays), warmer));
            }

            traces.Add(
                new(PastCalendar.YearOf(today.PlusDays(start?.ForecastDays ?? 0), shifts[k]), days)
                {
                    Before = Borrowed(source, shifts, k, today, known),
                }
            );
        }

        return outlook with
        {
            ForecastDays = start?.ForecastDays ?? 0,
            Traces = traces.MoveToImmutable(),
            UsualSoil10CmC = source.UsualSoil10CmC(),
        };
    }

    private static SiteDays? Borrowed(
        PastCalendar source,
        IReadOnlyList<int> shifts,
        int k,
        LocalDate today,
        SiteDays known
    )
    {
        var first = today.PlusDays(-BorrowedDays);
        var end = known.Count > 0 ? known.First : today;
        return end <= first ? null : source.Days(shifts, k, first, Period.DaysBetween(first, end));
    }

    /// <summary>Puts the days that were run over those of the past year, and lets what is left of the soil's difference fade.</summary>
    private static void Lay(SiteDays days, SiteDays run)
    {
        double left5 = 0,
            left10 = 0;
        var last = run.Count - 1;
        if (!double.IsNaN(run.Soil10CmC[last] - days.Soil10CmC[last]))
        {
            left5 = run.Soil5CmC[last] - days.Soil5CmC[last];
            left10 = run.Soil10CmC[last] - days.Soil10CmC[last];
        }

        days.Lay(run);
        for (var i = run.Count; i < days.Count; i++)
        {
            var share = Math.Exp(-(i - last) / FadeDays);
            days.Soil5CmC[i] += share * left5;
            days.Soil10CmC[i] += share * left10;
        }
    }
}
