using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <content>How past years are joined to this one, and to each other.</content>
public sealed partial class OutlookMakerTests
{
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
}
