using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Agronomy.Windows;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class SeedTaskTests
{
    private static readonly LocalDate October = new(2026, 10, 5);

    [Fact]
    public void An_open_window_is_a_task_with_seed_for_the_lawn()
    {
        var maker = Rye();
        maker.Lawn = maker.Lawn with { AreaM2 = 92.90304, Overseed = GrassKind.AnnualRyegrass };
        var task = Assert.Single(
            SeedTask.Of(
                WorkYear.Of(maker),
                WorkYear.Open(WindowKind.Overseed, GrassKind.AnnualRyegrass)
            )
        );
        Assert.True(Says(task.Title, "Sow the annual ryegrass"));
        // Common practice: 10 lb on 1,000 sq ft.
        var pounds =
            task.Amounts.SelectMany(a => a.Arguments)
                .OfType<Quantity>()
                .First(q => q.Kind == QuantityKind.Mass)
                .Value / 0.45359237;
        Assert.Equal(10, pounds, 1e-6);
        Assert.Contains(task.Steps, s => Says(s, "light waterings a day"));
        Assert.Contains(task.Cautions, c => Says(c, "germinating weeds"));
    }

    // An inch in a day is judgement.
    [Fact]
    public void Seed_waits_for_rain_that_would_wash_it_together()
    {
        var task = Assert.Single(
            SeedTask.Of(
                WorkYear.Of(
                    Rye(),
                    m =>
                        m.Set(WeatherColumn.PrecipitationMm, 12, 24, 2.5)
                            .Set(WeatherColumn.PrecipitationProbabilityPercent, 12, 24, 90)
                ),
                WorkYear.Open(WindowKind.Overseed, GrassKind.PerennialRyegrass)
            )
        );
        Assert.Equal(AdviceWeight.Blocks, task.Why.Weight);
        Assert.True(Says(task.Title, "Wait with sowing"));
    }

    // Perennial ryegrass comes up in 5 to 10 days (general lawn pages).
    [Theory]
    [InlineData(3, "Keep the perennial ryegrass seed moist")]
    [InlineData(17, "Keep the perennial ryegrass seed moist")]
    [InlineData(18, "Look whether the perennial ryegrass has come up")]
    [InlineData(32, null)]
    public void Sown_seed_is_kept_moist_then_looked_for(int daysAgo, string? title)
    {
        var tasks = SeedTask
            .Of(
                WorkYear.Of(
                    Rye()
                        .Noted(
                            JournalKind.Seeded,
                            October.PlusDays(-daysAgo),
                            grass: GrassKind.PerennialRyegrass
                        )
                ),
                []
            )
            .ToList();
        Assert.Equal(title is null ? 0 : 1, tasks.Count);
        if (title is not null)
        {
            Assert.True(Says(tasks[0].Title, title));
        }
    }

    [Theory]
    [InlineData(2, 1)]
    [InlineData(14, 1)]
    [InlineData(15, 0)]
    public void Seedlings_are_watered_once_a_day_for_two_weeks(int upDaysAgo, int tasks)
    {
        var found = SeedTask
            .Of(
                WorkYear.Of(
                    Rye()
                        .Noted(JournalKind.Seeded, October.PlusDays(-upDaysAgo - 7))
                        .Noted(JournalKind.Germinated, October.PlusDays(-upDaysAgo))
                ),
                []
            )
            .ToList();
        Assert.Equal(tasks, found.Count);
        Assert.All(found, t => Assert.True(Says(t.Title, "seedlings")));
    }

    [Fact]
    public void Cool_soil_makes_seed_slow_and_is_said_to()
    {
        var date = new LocalDate(2026, 11, 25);
        var task = Assert.Single(
            SeedTask.Of(
                WorkYear.Of(
                    YearMaker.Rye(Town.ElPaso, date).Noted(JournalKind.Seeded, date.PlusDays(-4))
                ),
                []
            )
        );
        Assert.Contains(task.Steps, s => Says(s, "expect the later days"));
    }

    [Fact]
    public void Dog_spots_are_mended_while_seed_comes_up()
    {
        var maker = YearMaker.Of(Town.Atlanta, new(2026, 9, 15), GrassKind.TallFescue);
        maker.Lawn = maker.Lawn with { Pets = true };
        var tasks = SeedTask
            .Of(
                WorkYear.Of(maker),
                WorkYear.Open(WindowKind.CoolSeasonSeeding, GrassKind.TallFescue)
            )
            .ToList();
        Assert.Equal(2, tasks.Count);
        Assert.Contains(tasks[1].Steps, s => Says(s, "do not feed it"));
        Assert.Contains(tasks[1].Steps, s => Says(s, "sow tall fescue"));
    }

    [Fact]
    public void In_an_overseeded_lawn_rye_covers_the_dog_spots()
    {
        var maker = Rye();
        maker.Lawn = maker.Lawn with { Pets = true };
        var spots = SeedTask
            .Of(WorkYear.Of(maker), WorkYear.Open(WindowKind.Overseed, GrassKind.PerennialRyegrass))
            .Last();
        Assert.Contains(spots.Steps, s => Says(s, "sow the perennial ryegrass over it"));
        Assert.Contains(spots.Steps, s => Says(s, "the bermudagrass closes it"));
        Assert.Empty(spots.Amounts);
    }

    [Fact]
    public void Without_window_or_sowing_there_is_nothing_to_do() =>
        Assert.Empty(SeedTask.Of(WorkYear.Of(Rye()), []));

    private static YearMaker Rye() => YearMaker.Rye(Town.ElPaso, October);

    private static bool Says(Phrase phrase, string words) =>
        phrase.InUs(DateTimeZone.Utc).Contains(words, StringComparison.Ordinal);
}
