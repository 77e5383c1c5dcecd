using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class FeedingTaskTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;
    private static readonly LocalDate July = new(2026, 7, 8);

    [Fact]
    public void An_open_window_on_a_fair_week_is_a_task_with_amounts()
    {
        var task = Summer(Bermuda(), _ => { });
        Assert.Equal(AdviceWeight.Supports, task.Why.Weight);
        Assert.Contains("Feed the bermudagrass", Text(task.Title), StringComparison.Ordinal);
        Assert.NotEmpty(task.Amounts);
        Assert.Contains(task.Steps, s => Says(s, "crossways"));
        Assert.Contains(task.Steps, s => Says(s, "Water it in the same day with 0.25 in"));
        Assert.Contains(task.Cautions, c => Says(c, "label has the last word"));
        Assert.Contains(task.Cautions, c => Says(c, "look up state and town"));
    }

    [Fact]
    public void A_window_that_is_not_open_gives_no_task() =>
        Assert.Empty(
            FeedingTask.Of(
                WorkYear.Of(Bermuda()),
                WorkYear.Open(WindowKind.SummerFeeding, GrassKind.Bermuda, WindowStanding.Ahead)
            )
        );

    [Fact]
    public void Another_kind_of_window_gives_no_task() =>
        Assert.Empty(
            FeedingTask.Of(
                WorkYear.Of(Bermuda()),
                WorkYear.Open(WindowKind.CoreAeration, GrassKind.Bermuda)
            )
        );

    // N.J.S.A. 58:10A-62: not after November 15; New York: not before April 2.
    [Theory]
    [InlineData("NJ", 2026, 11, 15, false)]
    [InlineData("NJ", 2026, 11, 16, true)]
    [InlineData("TX", 2026, 11, 16, false)]
    public void The_law_comes_first(string state, int year, int month, int day, bool withheld)
    {
        var maker = YearMaker
            .Of(Town.ElPaso, new(year, month, day), GrassKind.TallFescue)
            .In(state);
        var task = Assert.Single(
            FeedingTask.Of(
                WorkYear.Of(maker),
                WorkYear.Open(WindowKind.LateFallFeeding, GrassKind.TallFescue)
            )
        );
        Assert.Equal(withheld, task.Why.Weight == AdviceWeight.Blocks);
        if (withheld)
        {
            Assert.True(Says(task.Why.Text, "New Jersey law forbids it now"));
            Assert.Empty(task.Amounts);
            Assert.Contains("58:10A-62", task.Why.Source, StringComparison.Ordinal);
        }
    }

    // Texas AgriLife: bermudagrass at most 4 lb a season. Half a pound is the least feeding worth spreading.
    [Theory]
    [InlineData(3.4, false)]
    [InlineData(3.6, true)]
    public void The_seasons_ceiling_holds(double givenLb, bool withheld)
    {
        var maker = Bermuda().Noted(JournalKind.Fed, new(2026, 5, 1), givenLb * Lb);
        var task = Summer(maker, _ => { });
        Assert.Equal(withheld, task.Why.Weight == AdviceWeight.Blocks);
        if (!withheld)
        {
            // What is left of the season: 0.6 lb, not the pound of one feeding.
            Assert.Equal(
                4 - givenLb,
                task.Amounts[0].Arguments.OfType<Quantity>().First().Value / Lb,
                1e-9
            );
        }
    }

    [Theory]
    [InlineData(27, true)]
    [InlineData(28, false)]
    public void Four_weeks_lie_between_feedings(int daysAgo, bool withheld) =>
        Assert.Equal(
            withheld,
            Summer(
                Bermuda().Noted(JournalKind.Fed, July.PlusDays(-daysAgo), 0.5 * Lb),
                _ => { }
            ).Why.Weight == AdviceWeight.Blocks
        );

    [Fact]
    public void Grass_at_rest_is_not_fed()
    {
        var maker = YearMaker.Of(Town.Lafayette, new(2026, 12, 20), GrassKind.Bermuda);
        var task = Assert.Single(
            FeedingTask.Of(
                WorkYear.Of(maker),
                WorkYear.Open(WindowKind.FinalFallFeeding, GrassKind.Bermuda)
            )
        );
        Assert.True(Says(task.Why.Text, "at rest"));
    }

    [Fact]
    public void Frozen_ground_is_not_fed() => Withheld(m => Array.Fill(m.Soil5, -0.5), "frozen");

    [Fact]
    public void Saturated_ground_is_not_fed() =>
        Withheld(m => Array.Fill(m.SoilWetness, 1.6), "full of water");

    [Fact]
    public void Thirsty_grass_is_watered_first() =>
        Withheld(m => Array.Fill(m.AvailableWater, 0.1), "short of water");

    // 100 °F for warm-season grass is judgement: 37.7 °C is just under it.
    [Theory]
    [InlineData(37.7, false)]
    [InlineData(37.8, true)]
    public void Heat_waits(double airC, bool withheld)
    {
        var task = Summer(Bermuda(), m => m.Set(WeatherColumn.AirTemperatureC, 12, 18, airC));
        Assert.Equal(withheld, task.Why.Weight == AdviceWeight.Blocks);
    }

    // Half an inch in a day is judgement (Leon County, Florida: an inch); 12.6 mm is just under it.
    [Theory]
    [InlineData(12.6, 80, false)]
    [InlineData(12.8, 80, true)]
    [InlineData(12.8, 40, false)]
    public void Heavy_rain_ahead_waits(double mm, double percent, bool withheld)
    {
        var task = Summer(
            Bermuda(),
            m =>
                m.Set(WeatherColumn.PrecipitationMm, 30, 34, mm / 4)
                    .Set(WeatherColumn.PrecipitationProbabilityPercent, 30, 34, percent)
        );
        Assert.Equal(withheld, task.Why.Weight == AdviceWeight.Blocks);
        if (withheld)
        {
            Assert.True(Says(task.Why.Text, "wash it off"));
            Assert.True(Says(task.Why.Threshold, "0.5 in"));
        }
    }

    [Fact]
    public void Heavy_rain_spread_over_two_days_does_not_wait()
    {
        var task = Summer(
            Bermuda(),
            m =>
                m.Set(WeatherColumn.PrecipitationMm, 8, 52, 0.3)
                    .Set(WeatherColumn.PrecipitationProbabilityPercent, 8, 52, 80)
        );
        Assert.Equal(AdviceWeight.Supports, task.Why.Weight);
    }

    [Fact]
    public void A_soaking_rain_waters_it_in()
    {
        var task = Summer(
            Bermuda(),
            m =>
                m.Set(WeatherColumn.PrecipitationMm, 30, 34, 1.5)
                    .Set(WeatherColumn.PrecipitationProbabilityPercent, 30, 34, 70)
        );
        Assert.Contains(task.Steps, s => Says(s, "Spread before the rain of Thu Jul 9"));
        Assert.DoesNotContain(task.Steps, s => Says(s, "Water it in"));
    }

    [Fact]
    public void A_flood_warning_waits()
    {
        var task = Summer(
            Bermuda(),
            m =>
                m.Hazards = [
                    new(
                        "Flood Watch",
                        "Moderate",
                        m.Now,
                        m.Now + Duration.FromHours(20),
                        "a service"
                    ),
                ]
        );
        Assert.True(Says(task.Why.Text, "Flood Watch"));
    }

    [Fact]
    public void Unknown_rain_is_said_to_be_unknown()
    {
        var task = Summer(
            Bermuda(),
            m =>
                m.Set(WeatherColumn.PrecipitationMm, 0, 96, double.NaN)
                    .Set(WeatherColumn.PrecipitationProbabilityPercent, 0, 96, double.NaN)
        );
        Assert.Contains(task.Steps, s => Says(s, "do not know the rain"));
    }

    [Fact]
    public void Dog_spots_are_left_out()
    {
        var maker = Bermuda();
        maker.Lawn = maker.Lawn with { Pets = true };
        Assert.Contains(Summer(maker, _ => { }).Cautions, c => Says(c, "Leave dog spots out"));
    }

    [Fact]
    public void Two_grasses_have_each_their_own_record()
    {
        var date = new LocalDate(2026, 11, 20);
        var maker = YearMaker
            .Rye(Town.ElPaso, date)
            .Noted(JournalKind.Fed, new(2026, 6, 1), 2 * Lb)
            .Noted(JournalKind.Fed, new(2026, 11, 1), 0.5 * Lb);
        var year = maker.Build();
        var given = NitrogenGiven.Of(year.Lawn, year.Record, date, year.Outlook.Past);
        Assert.Equal(
            [(GrassKind.Bermuda, 2.0), (GrassKind.PerennialRyegrass, 0.5)],
            given.Select(g => (g.Grass, Math.Round(g.NitrogenGM2 / Lb, 6)))
        );
        Assert.Equal(1.5, given[1].RoomGM2 / Lb, 1e-9);
        var facts = NitrogenFacts.Facts(year).ToList();
        Assert.Equal(2, facts.Count);
        Assert.All(NitrogenFacts.Findings(year), f => Assert.Equal(AdviceWeight.Informs, f.Weight));
    }

    // Rye may outgrow bermudagrass into May, but what is spread on green bermudagrass is meant for it.
    [Theory]
    [InlineData(2, 10, GrassKind.PerennialRyegrass)]
    [InlineData(5, 20, GrassKind.Bermuda)]
    [InlineData(7, 1, GrassKind.Bermuda)]
    [InlineData(11, 1, GrassKind.PerennialRyegrass)]
    public void A_feeding_counts_for_the_grass_it_was_meant_for(int month, int day, GrassKind meant)
    {
        var fed = new LocalDate(2026, month, day);
        var year = YearMaker
            .Rye(Town.ElPaso, fed.PlusDays(3))
            .Noted(JournalKind.Fed, fed, 0.5 * Lb)
            .Build();
        var given = NitrogenGiven.Of(year.Lawn, year.Record, year.Date, year.Outlook.Past);
        Assert.Equal(meant, Assert.Single(given, g => g.Feedings == 1).Grass);
    }

    [Fact]
    public void Too_much_on_record_is_a_caution()
    {
        var year = Bermuda()
            .Noted(JournalKind.Fed, new(2026, 5, 1), 3 * Lb)
            .Noted(JournalKind.Fed, new(2026, 6, 1), 2 * Lb)
            .Noted(JournalKind.Fed, new(2025, 6, 1), 9 * Lb)
            .Build();
        var finding = Assert.Single(NitrogenFacts.Findings(year));
        Assert.Equal(AdviceWeight.Cautions, finding.Weight);
        Assert.Equal(5 * Lb, finding.Evidence.Arguments.OfType<Quantity>().First().Value, 1e-9);
    }

    [Fact]
    public void A_feeding_without_an_amount_is_counted_and_said()
    {
        var year = Bermuda()
            .Noted(JournalKind.Fed, new(2026, 5, 1), Lb)
            .Noted(JournalKind.Fed, new(2026, 6, 1))
            .Build();
        var fact = Assert.Single(NitrogenFacts.Facts(year));
        Assert.True(Says(fact.Value, "in 2 feedings, some without an amount"));
    }

    private static YearMaker Bermuda() => new(Town.ElPaso, July);

    private static LawnTask Summer(YearMaker maker, Action<MorningMaker> change) =>
        Assert.Single(
            FeedingTask.Of(
                WorkYear.Of(maker, change),
                WorkYear.Open(WindowKind.SummerFeeding, GrassKind.Bermuda)
            )
        );

    private static void Withheld(Action<MorningMaker> change, string words)
    {
        var task = Summer(Bermuda(), change);
        Assert.Equal(AdviceWeight.Blocks, task.Why.Weight);
        Assert.True(Says(task.Title, "Wait with feeding"));
        Assert.True(Says(task.Why.Text, words), Text(task.Why.Text));
        Assert.Empty(task.Steps);
    }

    private static bool Says(Phrase phrase, string words) =>
        Text(phrase).Contains(words, StringComparison.Ordinal);

    private static string Text(Phrase phrase) => phrase.InUs(DateTimeZone.Utc);
}
