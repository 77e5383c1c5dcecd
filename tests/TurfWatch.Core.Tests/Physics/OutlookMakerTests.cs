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
}
