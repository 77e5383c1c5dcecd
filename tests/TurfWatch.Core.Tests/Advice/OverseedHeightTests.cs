using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>What is said of a grass sown over another: in which months winter's advice stands is judgement.</summary>
public sealed class OverseedHeightTests
{
    [Theory]
    [InlineData(10, false)]
    [InlineData(11, true)]
    [InlineData(2, true)]
    [InlineData(3, false)]
    [InlineData(5, false)]
    public void Winter_is_spoken_of_in_winter_alone(int month, bool winter)
    {
        var maker = new MorningMaker(new LocalDate(2026, month, 20));
        maker.Lawn = maker.Lawn with
        {
            Grass = GrassKind.Bermuda,
            Overseed = GrassKind.AnnualRyegrass,
        };
        Array.Fill(maker.Soil10, 14);
        Array.Fill(maker.Soil5, 14);
        var morning = maker.Build();
        Assert.True(morning.Growing.IsOverseed, "the rye does not lead");

        var told = GrowthNeedRule
            .Judge(morning)
            .Findings.Select(f => f.Text.InUs(maker.Zone))
            .Single(t => t.StartsWith("This speaks of", StringComparison.Ordinal));

        Assert.Equal(
            winter
                ? "This speaks of the annual ryegrass over your bermudagrass: in winter keep it taller."
                : "This speaks of the annual ryegrass over your bermudagrass.",
            told
        );
    }
}
