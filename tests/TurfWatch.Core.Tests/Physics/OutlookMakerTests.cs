using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public sealed partial class OutlookMakerTests
{
    private static readonly LocalDate Today = new(2026, 9, 1);
    private static readonly PastYears Ten = MadePast.Years(2015, 2025, y => (y - 2020) * 0.4);
    private static readonly SiteDays TenSoil = PastSoil.Run(
        MadeWeather.Site,
        MadeWeather.Turf,
        MadePast.Zone,
        Ten
    );

    private static SeasonOutlook Make(double warmerK = 0, int forecastDays = 7)
    {
        // This year by the same wave, from July on.
        var weather = HourlyFromDaily.Make(
            MadeWeather.Site.LatitudeDeg,
            MadeWeather.Site.LongitudeDeg,
            MadePast.Zone,
            [
                .. MadePast
                    .Years(2026, 2026, _ => warmerK)
                    .Days.Where(d =>
                        d.Date >= Today.PlusDays(-60) && d.Date < Today.PlusDays(forecastDays)
                    ),
            ]
        );
        var now = MadePast.Zone.AtStartOfDay(Today).ToInstant();
        var run = SiteModel.Run(MadeWeather.Site, MadeWeather.Turf, weather, now);
        return OutlookMaker.Make(
            MadeWeather.Site,
            MadeWeather.Turf,
            MadePast.Zone,
            Today,
            SiteDaysOf.Conditions(run.Conditions, MadePast.Zone),
            run.StateToKeep,
            weather,
            Ten,
            TenSoil
        );
    }

    [Fact]
    public void There_is_a_course_for_each_past_year()
    {
        var outlook = Make();

        Assert.Equal(OutlookBasis.ThisYear, outlook.Basis);
        Assert.Equal(7, outlook.ForecastDays);
        Assert.Equal(Enumerable.Range(2015, 11), outlook.Traces.Select(t => t.Year));
        Assert.All(
            outlook.Traces,
            t =>
            {
                Assert.Equal(Today, t.Days.First);
                Assert.Equal(OutlookMaker.DaysAhead, t.Days.Count);
                Assert.DoesNotContain(t.Days.Soil10CmC, double.IsNaN);
                Assert.DoesNotContain(t.Days.AirMinC, double.IsNaN);
            }
        );
        Assert.Equal(Today, outlook.Past.End);
        Assert.Equal(366, outlook.UsualSoil10CmC.Length);
    }

    [Fact]
    public void Nothing_of_this_year_gives_climate_alone()
    {
        var outlook = OutlookMaker.Make(
            MadeWeather.Site,
            MadeWeather.Turf,
            MadePast.Zone,
            Today,
            SiteDays.Unknown(Today, 0),
            null,
            WeatherSeries.Empty,
            Ten,
            TenSoil
        );

        Assert.Equal((OutlookBasis.ClimateAlone, 0), (outlook.Basis, outlook.ForecastDays));
        Assert.Equal(11, outlook.Traces.Length);
        var trace = outlook.Traces[3];
        Assert.Equal(2018, trace.Year);
        Assert.Equal(TenSoil.Soil10CmC[TenSoil.IndexOf(new(2018, 9, 1))], trace.Days.Soil10CmC[0]);
        Assert.Equal(
            TenSoil.Soil10CmC[TenSoil.IndexOf(new(2018, 8, 1))],
            trace.Before!.Soil10CmC[^31]
        );
    }

    [Fact]
    public void Without_past_years_there_are_no_courses()
    {
        var outlook = OutlookMaker.Make(
            MadeWeather.Site,
            MadeWeather.Turf,
            MadePast.Zone,
            Today,
            SiteDays.Unknown(Today, 0),
            null,
            WeatherSeries.Empty,
            null,
            null
        );

        Assert.Empty(outlook.Traces);
    }

    [Fact]
    public void Courses_of_warm_and_cold_years_pass_a_temperature_as_far_apart_as_their_waves_do()
    {
        // Years of one wave shifted by δ: T = m + δ + A sin(2π(d - 105)/365), so that a temperature at the mean, where the wave falls by
        // 2πA/365 = 0.207 K a day, is passed δ/0.207 days later. Soil that only conducts keeps such a shift whole.
        var outlook = Make();
        LocalDate Passes(int year) => FirstDay(outlook.Traces.Single(t => t.Year == year).Days, 15);

        var apart = Period.DaysBetween(Passes(2017), Passes(2023));

        // 2.4 K between the two years; the balance of leaves and radiation passes on a little less than the air's whole shift.
        Assert.InRange(apart, 0.75 * 2.4 / 0.2066, 1.1 * 2.4 / 0.2066);

        static LocalDate FirstDay(SiteDays days, double celsius) =>
            days.Date(Array.FindIndex(days.Soil10CmC, t => t < celsius));
    }

    [Fact]
    public void A_warm_summer_is_remembered_for_weeks_and_then_forgotten()
    {
        var usual = Make();
        var warm = Make(warmerK: 4);
        double Apart(int day) =>
            warm
                .Traces.Zip(usual.Traces, (w, u) => w.Days.Soil10CmC[day] - u.Days.Soil10CmC[day])
                .Average();

        // The forecast is the warm summer's too.
        Assert.True(Apart(6) > 2, $"{Apart(6)}");
        Assert.InRange(Apart(20), 0.15, 1.5);
        Assert.InRange(Apart(60), 0, 0.5);
        Assert.InRange(Apart(200), 0, 0.02);
        for (var day = 10; day < 120; day += 10)
        {
            Assert.True(Apart(day + 10) <= Apart(day) + 0.02, $"day {day}");
        }
    }

    [Fact]
    public void A_forecasts_error_spreads_the_courses_and_grows()
    {
        var weather = HourlyFromDaily.Make(
            MadeWeather.Site.LatitudeDeg,
            MadeWeather.Site.LongitudeDeg,
            MadePast.Zone,
            [
                .. MadePast
                    .Years(2026, 2026, _ => 0)
                    .Days.Where(d => d.Date >= Today.PlusDays(-40) && d.Date < Today.PlusDays(7)),
            ]
        );
        var now = MadePast.Zone.AtStartOfDay(Today).ToInstant();
        var builder = new WeatherSeriesBuilder(weather.FirstHourEnd, weather.Count);
        builder.Lay(weather);
        builder.Origins[(weather.IndexOf(now) + 1)..].Fill(new(HourKind.Forecast, "made", null));
        var state = SiteModel.Run(MadeWeather.Site, MadeWeather.Turf, weather, now).StateToKeep;
        SeasonOutlook Outlook(WeatherSeries hours) =>
            OutlookMaker.Make(
                MadeWeather.Site,
                MadeWeather.Turf,
                MadePast.Zone,
                Today,
                SiteDays.Unknown(Today, 0),
                state,
                hours,
                Ten,
                TenSoil
            );

        var sure = Outlook(weather);
        var unsure = Outlook(builder.Build());

        double Deviation(SeasonOutlook o, int day)
        {
            var values = o.Traces.Select(t => t.Days.AirMeanC[day]).ToArray();
            var mean = values.Average();
            return Math.Sqrt(values.Average(v => (v - mean) * (v - mean)));
        }

        Assert.Equal(7, unsure.ForecastDays);
        Assert.Equal(0, Deviation(sure, 3), 1e-9);

        // 1.1 K √(1 + lead/48 h), mid-day leads of 12 and 156 h; eleven middles of equal shares have 0.95 of the deviation.
        Assert.Equal(0.95 * 1.1 * Math.Sqrt(1 + (12 / 48.0)), Deviation(unsure, 0), 0.06);
        Assert.Equal(0.95 * 1.1 * Math.Sqrt(1 + (156 / 48.0)), Deviation(unsure, 6), 0.1);
        Assert.Equal(
            sure.Traces[0].Days.AirMeanC[4],
            unsure.Traces.Average(t => t.Days.AirMeanC[4]),
            1e-6
        );
    }

    [Fact]
    public void A_state_that_the_weather_does_not_reach_from_gives_climate_alone()
    {
        var old = MadeWeather.Hours(20 * 24);
        var state = SiteModel
            .Run(MadeWeather.Site, MadeWeather.Turf, old, old.LastHourEnd)
            .StateToKeep;
        var outlook = OutlookMaker.Make(
            MadeWeather.Site,
            MadeWeather.Turf,
            MadePast.Zone,
            Today,
            SiteDays.Unknown(Today, 0),
            state,
            old,
            Ten,
            TenSoil
        );
        Assert.Equal(OutlookBasis.ClimateAlone, outlook.Basis);
    }

    [Fact]
    public void Deviates_are_normal_and_each_is_used_once()
    {
        foreach (var n in (int[])[1, 2, 3, 7, 10, 20, 21, 30])
        {
            var z = Enumerable.Range(0, n).Select(k => OutlookStart.Deviate(k, n)).ToArray();
            Assert.Equal(n, z.Distinct().Count());
            Assert.Equal(0, z.Average(), 1e-5);
        }

        // Tables of the normal distribution: 90 in 100 below 1.2816, 97.5 below 1.9600.
        Assert.Equal(1.2816, NormalQuantile.Of(0.9), 5e-4);
        Assert.Equal(-1.9600, NormalQuantile.Of(0.025), 5e-4);
    }
}
