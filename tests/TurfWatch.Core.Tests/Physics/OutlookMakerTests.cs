using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public sealed class OutlookMakerTests
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
    public void The_light_run_finds_what_the_model_finds()
    {
        var weather = MadeWeather.Hours(60 * 24, firstDay: 120);
        var found = SiteDaysOf.Conditions(
            SiteModel
                .Run(MadeWeather.Site, MadeWeather.Turf, weather, weather.LastHourEnd)
                .Conditions,
            MadePast.Zone
        );

        var run = new DailyRun(MadeWeather.Site, MadeWeather.Turf);
        var hours = SiteForcing.Make(MadeWeather.Site, weather).AsSpan();
        var state = new SiteKernelState();
        FirstGuess.Fill(state, MadeWeather.Site, run.Green, hours, 121);
        run.Load(state, CanopyState.Active);
        var days = SiteDays.Unknown(found.First, found.Count);
        int Hour(LocalDate d) => LocalDays.FirstHour(weather.FirstHourEnd, MadePast.Zone, d);
        run.Skip(hours[..Hour(days.First)]);
        for (var d = 0; d < days.Count; d++)
        {
            run.Day(hours[Hour(days.Date(d))..Hour(days.Date(d + 1))], days, d);
        }

        for (var d = 0; d < days.Count; d++)
        {
            Assert.Equal(found.Soil5CmC[d], days.Soil5CmC[d], 1e-6);
            Assert.Equal(found.Soil10CmC[d], days.Soil10CmC[d], 1e-6);
            Assert.Equal(found.AirMeanC[d], days.AirMeanC[d], 1e-9);
            Assert.Equal(found.AirMinC[d], days.AirMinC[d], 1e-9);
            Assert.Equal(found.AirMaxC[d], days.AirMaxC[d], 1e-9);
            Assert.Equal(found.RainMm[d], days.RainMm[d], 1e-9);
            Assert.Equal(found.Et0Mm[d], days.Et0Mm[d], 1e-6);
            Assert.Equal(found.ShortwaveMJM2[d], days.ShortwaveMJM2[d], 1e-6);
            Assert.Equal(found.WetHours[d], days.WetHours[d], 1e-6);
            Assert.Equal(found.AvailableWater[d], days.AvailableWater[d], 1e-6);
            Assert.Equal(found.HumidityPercent[d], days.HumidityPercent[d], 0.5);
        }
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
    public void The_join_with_the_past_year_makes_no_step()
    {
        foreach (var trace in Make(warmerK: 5).Traces)
        {
            var step = trace.Days.Soil10CmC[60] - trace.Days.Soil10CmC[59];
            var before = trace.Days.Soil10CmC[59] - trace.Days.Soil10CmC[58];
            Assert.InRange(step - before, -0.3, 0.3);
        }
    }

    [Fact]
    public void A_year_that_ends_is_gone_on_with_by_the_next_one()
    {
        var outlook = Make();

        // 2025's days end in December; then come those of January 2016, which followed 2015's September.
        var last = outlook.Traces[^1].Days;
        Assert.Equal(
            TenSoil.AirMeanC[TenSoil.IndexOf(new(2025, 12, 31))],
            last.AirMeanC[last.IndexOf(new(2026, 12, 31))]
        );
        Assert.Equal(
            TenSoil.AirMeanC[TenSoil.IndexOf(new(2016, 1, 1))],
            last.AirMeanC[last.IndexOf(new(2027, 1, 1))]
        );
    }

    [Theory]
    [InlineData(2028, 2, 20)]
    [InlineData(2028, 2, 29)]
    [InlineData(2027, 2, 20)]
    public void The_29th_of_February_is_the_28th_where_the_past_year_has_none(
        int year,
        int month,
        int day
    )
    {
        var today = new LocalDate(year, month, day);
        var outlook = OutlookMaker.Make(
            MadeWeather.Site,
            MadeWeather.Turf,
            MadePast.Zone,
            today,
            SiteDays.Unknown(today, 0),
            null,
            WeatherSeries.Empty,
            Ten,
            TenSoil
        );

        Assert.Equal(11, outlook.Traces.Length);
        foreach (var trace in outlook.Traces)
        {
            Assert.DoesNotContain(trace.Days.Soil10CmC, double.IsNaN);
            for (var i = 0; i < 20; i++)
            {
                var date = trace.Days.Date(i);
                var source = new LocalDate(
                    trace.Year,
                    date.Month,
                    date is { Month: 2, Day: 29 } && !CalendarSystem.Iso.IsLeapYear(trace.Year)
                        ? 28
                        : date.Day
                );
                Assert.Equal(TenSoil.AirMeanC[TenSoil.IndexOf(source)], trace.Days.AirMeanC[i]);
            }
        }
    }

    [Fact]
    public void A_year_whose_weather_is_not_known_makes_no_course()
    {
        var holed = new PastYears([
            .. Ten.Days.Select(d =>
                d.Date.Year == 2019
                    ? new ClimateDay(d.Date, double.NaN, double.NaN, double.NaN, double.NaN)
                    : d
            ),
        ]);
        var outlook = OutlookMaker.Make(
            MadeWeather.Site,
            MadeWeather.Turf,
            MadePast.Zone,
            Today,
            SiteDays.Unknown(Today, 0),
            null,
            WeatherSeries.Empty,
            holed,
            null
        );

        Assert.Equal(10, outlook.Traces.Length);
        Assert.DoesNotContain(outlook.Traces, t => t.Year == 2019);

        // 2018's days end in December; those of 2021 and on to 2019's place are taken from the next year that has them.
        Assert.All(outlook.Traces, t => Assert.DoesNotContain(t.Days.Soil10CmC, double.IsNaN));
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
    public void The_days_that_were_are_kept_for_400_days_and_what_they_lack_is_borrowed()
    {
        var past = TenSoil.Slice(new(2024, 1, 1), new(2025, 9, 1));
        var today = new LocalDate(2025, 9, 1);
        SeasonOutlook Of(SiteDays days) =>
            OutlookMaker.Make(
                MadeWeather.Site,
                MadeWeather.Turf,
                MadePast.Zone,
                today,
                days,
                null,
                WeatherSeries.Empty,
                Ten,
                TenSoil
            );

        var long_ = Of(past);
        Assert.Equal((400, today), (long_.Past.Count, long_.Past.End));
        Assert.All(long_.Traces, t => Assert.Null(t.Before));

        var brief = Of(past.Slice(today.PlusDays(-30), today));
        Assert.Equal(30, brief.Past.Count);
        Assert.All(brief.Traces, t => Assert.Equal(brief.Past.First, t.Before!.End));
        Assert.Equal(330 - 60, brief.Traces[0].Before!.Count);
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

    [Fact]
    public void Past_soil_does_not_ask_whether_the_lawn_is_green_today()
    {
        var dormant = PastSoil.Run(
            MadeWeather.Site,
            MadeWeather.Turf with
            {
                Canopy = CanopyState.Dormant,
            },
            MadePast.Zone,
            Ten
        );
        Assert.Equal(TenSoil.Soil10CmC, dormant.Soil10CmC);
    }

    [Fact]
    public void Usual_soil_is_late_against_the_air_as_conduction_makes_it()
    {
        // Hillel (1982): at 4 in, 5e-7 m²/s, the year's wave is 2.64 days late; the sun's wave, 24 days early, draws it forward a little.
        var usual = Make().UsualSoil10CmC;
        Assert.InRange(usual.IndexOf(usual.Max()) - 196, -6, 8);
        Assert.InRange(usual.IndexOf(usual.Min()) - 14, -6, 8);
    }
}
