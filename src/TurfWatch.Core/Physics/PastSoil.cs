using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>The physics over all past years: what the soil of a lawn did in each of them.</summary>
public static class PastSoil
{
    // A hole of more days than this, and the soil is guessed afresh.
    private const int LongestGapDays = 5;

    /// <summary>Runs all past days, from a guess of the soil made from their own climate.</summary>
    /// <param name="site">Where it is.</param>
    /// <param name="surface">What the lawn is; whether it is green follows from the soil (<see cref="DailyRun"/>), not from this.</param>
    /// <param name="zone">Time zone of the place.</param>
    /// <param name="years">The past days.</param>
    /// <returns>One row a day; days whose weather is not known are NaN.</returns>
    /// <remarks>The first two months still remember the guess; they are one year in twenty.</remarks>
    public static SiteDays Run(
        SiteDescription site,
        SurfaceClass surface,
        DateTimeZone zone,
        PastYears years
    )
    {
        var weather = HourlyFromDaily.Make(site.LatitudeDeg, site.LongitudeDeg, zone, years.Days);
        var climate = PlaceClimateBuilder.Build(years.Days);
        var hours = SiteForcing.Make(site, weather).AsSpan();
        var days = SiteDays.Unknown(years.First, years.Days.Length);
        var run = new DailyRun(site, surface);
        var state = new SiteKernelState();
        var gap = LongestGapDays + 1;
        var from = 0;
        for (var d = 0; d < days.Count; d++)
        {
            var next = LocalDays.FirstHour(weather.FirstHourEnd, zone, days.Date(d + 1));
            if (!hours[from].Usable)
            {
                gap++;
            }
            else
            {
                if (gap > LongestGapDays)
                {
                    FirstGuess.Fill(
                        state,
                        site,
                        run.Green,
                        hours[from..],
                        days.Date(d).DayOfYear,
                        climate
                    );
                    run.Load(state, CanopyState.Active);
                }

                gap = 0;
            }

            run.Day(hours[from..next], days, d);
            from = next;
        }

        return days;
    }
}
