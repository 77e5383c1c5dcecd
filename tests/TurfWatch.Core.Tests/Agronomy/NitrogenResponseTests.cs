using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

// The response is judgement, no source: the tests hold it to what its description says.
public sealed class NitrogenResponseTests
{
    private static readonly LocalDate Today = new(2026, 5, 13);

    [Fact]
    public void A_journal_without_feedings_says_nothing() =>
        Assert.Equal(1, NitrogenResponse.Factor(LawnRecord.Empty, Today));

    // By hand: 0.8 + 0.4 exp(-t/30).
    [Theory]
    [InlineData(0, 1.2)]
    [InlineData(30, 0.9472)]
    [InlineData(90, 0.8199)]
    [InlineData(300, 0.8)]
    public void A_pound_wears_off(int daysAgo, double factor) =>
        Assert.Equal(factor, NitrogenResponse.Factor(Fed(daysAgo, 4.88), Today), 1e-4);

    [Fact]
    public void Two_pounds_do_no_more_than_one() =>
        Assert.Equal(1.2, NitrogenResponse.Factor(Fed(0, 9.76), Today));

    [Fact]
    public void A_late_feeding_of_unknown_amount_leaves_the_factor_at_one() =>
        Assert.Equal(1, NitrogenResponse.Factor(Fed(10, null), Today));

    [Theory]
    [InlineData(400)]
    [InlineData(-3)]
    public void Feedings_beyond_a_year_or_to_come_do_not_count(int daysAgo) =>
        Assert.Equal(1, NitrogenResponse.Factor(Fed(daysAgo, 4.88), Today));

    [Fact]
    public void A_fed_lawn_stands_higher()
    {
        var maker = new MorningMaker().Mowed(6);
        var bare = maker.Build().Need.HeightCm;
        maker.Record = new([
            new(0, JournalKind.Fed, Today.PlusDays(-7), 4.88),
            .. maker.Record.Entries,
        ]);
        Assert.InRange((maker.Build().Need.HeightCm - 7.62) / (bare - 7.62), 1.1, 1.2);
    }

    private static LawnRecord Fed(int daysAgo, double? gramsM2) =>
        new([new(0, JournalKind.Fed, Today.PlusDays(-daysAgo), gramsM2)]);
}
