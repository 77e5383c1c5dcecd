using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>Dormancy, first frost and freeze, green-up, the spring scalp and the transition.</summary>
public sealed class RestAndGreenUpTests
{
    // Common practice, no source: in far west Texas bermudagrass goes dormant about the third week of November. First
    // freeze there on average 13 November (NWS El Paso, as told by the El Paso Times, 20 December 2021).
    [Fact]
    public void In_far_west_Texas_bermudagrass_goes_dormant_about_the_third_week_of_November()
    {
        var window = new YearMaker(Town.ElPaso, new(2026, 9, 1)).Window(WindowKind.Dormancy);

        Assert.InRange(window.Opens.Median!.Value, new LocalDate(2026, 11, 14), new(2026, 11, 28));
        Assert.True(window.Opens.Earliest <= new LocalDate(2026, 11, 21));
        Assert.True(window.Opens.Latest >= new LocalDate(2026, 11, 15));
    }

    [Theory]
    [InlineData(3, 0.0, true)]
    [InlineData(2, 0.0, false)]
    [InlineData(3, 0.1, false)]
    [InlineData(2, -2.2, true)]
    [InlineData(1, -2.2, false)]
    public void Nights_send_it_to_rest_before_the_soil_does(int nights, double minC, bool rests)
    {
        // Soil at 15 °C all the time; so many cold nights within ten days.
        var day = new LocalDate(2026, 11, 20);
        var maker = new YearMaker(Town.ElPaso, day);
        maker.Outlook = Steady(
            day,
            15,
            d => d >= day.PlusDays(-3 * nights) && d < day && (day - d).Days % 3 == 0 ? minC : 5
        );

        Assert.Equal(
            rests ? WindowStanding.Open : WindowStanding.Withheld,
            maker.Window(WindowKind.Dormancy).Standing
        );
    }

    [Theory]
    [InlineData(9.9, true)]
    [InlineData(10.1, false)]
    public void Soil_below_50_F_sends_it_to_rest(double soilC, bool rests)
    {
        var day = new LocalDate(2026, 11, 20);
        var maker = new YearMaker(Town.ElPaso, day);
        maker.Outlook = Steady(day, soilC, _ => 5);

        Assert.Equal(rests, maker.Window(WindowKind.Dormancy).Opens.Median is not null);
    }

    [Fact]
    public void Where_it_does_not_freeze_dormancy_and_freeze_are_withheld_and_say_why()
    {
        var maker = YearMaker.Of(Town.Miami, new(2026, 11, 1), GrassKind.StAugustine);

        foreach (var kind in new[] { WindowKind.Dormancy, WindowKind.FirstFreeze })
        {
            var window = maker.Window(kind);
            Assert.Equal(WindowStanding.Withheld, window.Standing);
            Assert.Equal(20, window.Opens.Without);
        }

        Assert.DoesNotContain(maker.Windows(), w => w.Kind == WindowKind.GreenUp);
        Assert.DoesNotContain(maker.Windows(), w => w.Kind == WindowKind.FinalFallFeeding);
    }

    [Fact]
    public void Frost_comes_before_freeze()
    {
        foreach (var town in new[] { Town.ElPaso, Town.Atlanta, Town.Lafayette })
        {
            var maker = new YearMaker(town, new(2026, 9, 1));

            Assert.True(
                maker.Window(WindowKind.FirstFrost).Opens.Median
                    <= maker.Window(WindowKind.FirstFreeze).Opens.Median
            );
        }
    }

    // Why now: the forecast, and how cold; the hard freeze of NWS Jackson is 28 °F.
    [Theory]
    [InlineData(-1, "The forecast has a freeze on {0}.")]
    [InlineData(
        -4,
        "The forecast has a hard freeze on {0}: what grows on is burnt back, and water in pipes can freeze."
    )]
    public void A_freeze_within_the_forecast_is_told_by_it(double lowC, string text)
    {
        var day = new LocalDate(2026, 11, 20);
        var maker = YearMaker.Rye(Town.ElPaso, day);
        maker.Outlook = maker.Outlook with
        {
            Past = MadeOutlook.Days(day.PlusDays(-100), 100, _ => 15, _ => 12),
        };
        foreach (var trace in maker.Outlook.Traces)
        {
            Array.Fill(trace.Days.AirMinC, 6, 0, 2);
            trace.Days.AirMinC[2] = lowC;
        }

        maker.Outlook = maker.Outlook with { ForecastDays = 5 };
        var freeze = maker.Window(WindowKind.FirstFreeze);
        Assert.Equal(day.PlusDays(2), freeze.Opens.Median);
        Assert.Equal(text, freeze.Why[0].Text.Format);
        Assert.Contains(Quantity.TemperatureC(lowC), freeze.Why[0].Evidence.Arguments);
        Assert.Equal(2, freeze.Steps.Length);
        maker.Lawn = maker.Lawn with { Irrigated = true };
        Assert.Equal(3, maker.Window(WindowKind.FirstFreeze).Steps.Length);
        // Beyond the forecast nothing is foretold.
        maker.Outlook = maker.Outlook with
        {
            ForecastDays = 2,
        };
        Assert.Single(maker.Window(WindowKind.FirstFreeze).Why);
    }

    [Fact]
    public void A_freeze_that_came_stays_where_it_was()
    {
        var before = new YearMaker(Town.ElPaso, new(2026, 12, 20)).Window(WindowKind.FirstFreeze);
        var after = new YearMaker(Town.ElPaso, new(2027, 2, 20)).Window(WindowKind.FirstFreeze);

        Assert.Equal(before.Opens.Median, after.Opens.Median);
        Assert.Equal("FirstFreeze:2026", after.Key);
        Assert.Equal(WindowStanding.Closed, after.Standing);
    }

    // NC State (G. Miller 2022): green at about 58 °F soil; the upper end of the band, 65 °F, comes later.
    [Theory]
    [InlineData(14.3, 17.0, WindowStanding.Ahead)]
    [InlineData(14.6, 17.0, WindowStanding.Open)]
    [InlineData(18.6, 18.6, WindowStanding.Closed)]
    public void Green_up_is_a_band_from_58_to_65_F(
        double soilC,
        double laterC,
        WindowStanding standing
    )
    {
        var day = new LocalDate(2027, 3, 20);
        var maker = new YearMaker(Town.ElPaso, day);
        var spring = Steady(day, 5, _ => 2);
        maker.Outlook = spring with
        {
            Past = MadeOutlook.Days(
                day.PlusDays(-200),
                200,
                _ => 12,
                d => d < day.PlusDays(-12) ? 5 : soilC
            ),
            Traces =
            [
                .. Enumerable
                    .Range(2016, 10)
                    .Select(y => new OutlookTrace(
                        y,
                        MadeOutlook.Days(
                            day,
                            300,
                            _ => 20,
                            d => d < day.PlusDays(10) ? soilC : laterC - (0.01 * (y - 2016))
                        )
                    )),
            ],
        };

        Assert.Equal(standing, maker.Window(WindowKind.GreenUp).Standing);
    }

    [Fact]
    public void The_scalp_opens_with_green_up_and_never_before()
    {
        for (
            var day = new LocalDate(2027, 2, 1);
            day <= new LocalDate(2027, 5, 30);
            day = day.PlusDays(4)
        )
        {
            var maker = new YearMaker(Town.Atlanta, day);
            var greening = maker.Window(WindowKind.GreenUp).Standing;
            var scalp = maker.Window(WindowKind.SpringScalp).Standing;
            if (scalp is WindowStanding.Open or WindowStanding.ClosingSoon)
            {
                Assert.NotEqual(WindowStanding.Ahead, greening);
            }
        }
    }

    [Theory]
    [InlineData(GrassKind.StAugustine)]
    [InlineData(GrassKind.Centipede)]
    public void Grass_with_runners_on_the_ground_is_not_scalped(GrassKind grass)
    {
        var window = YearMaker
            .Of(Town.Atlanta, new(2027, 4, 5), grass)
            .Window(WindowKind.SpringScalp);

        Assert.Equal(WindowStanding.Withheld, window.Standing);
        Assert.Empty(window.Steps);
        Assert.Contains(window.Why, f => f.Weight == AdviceWeight.Blocks);
    }

    [Fact]
    public void An_overseeded_lawn_goes_through_the_transition_instead_of_a_scalp()
    {
        var maker = YearMaker.Rye(Town.ElPaso, new(2027, 4, 20));

        Assert.Equal(WindowStanding.Withheld, maker.Window(WindowKind.SpringScalp).Standing);
        var transition = maker.Window(WindowKind.SpringTransition);
        Assert.Equal(WindowStanding.Open, transition.Standing);
        Assert.Equal(GrassKind.Bermuda, transition.Grass);
    }

    // University of Arizona (Kopec 1996, 1998): in the low desert rye goes in May and June, with nights above 60 °F.
    [Fact]
    public void In_the_low_desert_the_transition_is_a_matter_of_May()
    {
        var window = YearMaker
            .Rye(Town.Phoenix, new(2027, 3, 1))
            .Window(WindowKind.SpringTransition);

        Assert.True(window.Opens.Median < new LocalDate(2027, 5, 1));
        Assert.InRange(window.Closes!.Median!.Value, new LocalDate(2027, 5, 1), new(2027, 6, 30));
    }

    private static SeasonOutlook Steady(LocalDate today, double soilC, Func<LocalDate, double> minC)
    {
        SiteDays Make(LocalDate first, int count) =>
            MadeOutlook.Days(first, count, _ => 12, _ => soilC) with
            {
                AirMinC = [.. Enumerable.Range(0, count).Select(i => minC(first.PlusDays(i)))],
            };

        return new()
        {
            Today = today,
            Basis = OutlookBasis.ThisYear,
            ForecastDays = 7,
            Past = Make(today.PlusDays(-200), 200),
            Traces = [new(2025, Make(today, 300))],
            SoilErrorC = 0,
        };
    }
}
