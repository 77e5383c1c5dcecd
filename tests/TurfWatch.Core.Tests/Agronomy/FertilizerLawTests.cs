using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class FertilizerLawTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;

    // Md. Code, Agriculture 8-803.5 and N.J.S.A. 58:10A-62: before March 1 or after November 15; N.Y. ECL 17-2103:
    // between December 1 and April 1; Vermont Act 37: before April 1 or after October 15.
    [Theory]
    [InlineData("MD", "2026-11-15", false, null)]
    [InlineData("MD", "2026-11-16", true, "2027-03-01")]
    [InlineData("md", "2027-02-28", true, "2027-03-01")]
    [InlineData("MD", "2028-02-29", true, "2028-03-01")]
    [InlineData("MD", "2027-03-01", false, null)]
    [InlineData("NJ", "2026-12-24", true, "2027-03-01")]
    [InlineData("NY", "2026-11-30", false, null)]
    [InlineData("NY", "2027-04-01", true, "2027-04-02")]
    [InlineData("VT", "2026-10-15", false, null)]
    [InlineData("VT", "2026-10-16", true, "2027-04-01")]
    [InlineData("TX", "2026-12-24", false, null)]
    [InlineData("FL", "2026-07-04", false, null)]
    public void Black_outs_hold_on_the_dates_of_the_statute(
        string state,
        string date,
        bool blackOut,
        string? freeFrom
    )
    {
        var law = FertilizerLaw.For(state, Day(date));
        Assert.Equal(blackOut, law.BlackOut is not null);
        Assert.Equal(freeFrom is null ? null : Day(freeFrom), law.FreeFrom);
    }

    // Md. Code, Agriculture 6-224 and 3 Pa.C.S. 6813: 0.9 lb in all, 0.7 lb readily available; Pennsylvania half a
    // pound after December 15 and before March 1.
    [Theory]
    [InlineData("MD", "2026-07-01", 0.9, 0.7)]
    [InlineData("PA", "2026-12-15", 0.9, 0.7)]
    [InlineData("PA", "2026-12-16", 0.5, 0.5)]
    [InlineData("PA", "2027-02-28", 0.5, 0.5)]
    [InlineData("TX", "2026-07-01", double.PositiveInfinity, double.PositiveInfinity)]
    public void Caps_are_those_of_the_statute(
        string state,
        string date,
        double totalLb,
        double solubleLb
    )
    {
        var law = FertilizerLaw.For(state, Day(date));
        Assert.Equal(totalLb, law.TotalCapGM2 / Lb, 1e-9);
        Assert.Equal(solubleLb, law.SolubleCapGM2 / Lb, 1e-9);
    }

    [Fact]
    public void Every_rule_says_where_it_was_read_and_every_limit_has_its_number()
    {
        Assert.NotEmpty(LawBook.ByState.Values);
        Assert.All(
            LawBook.ByState.Values.SelectMany(l => l.Rules),
            r =>
            {
                Assert.False(string.IsNullOrWhiteSpace(r.Source));
                Assert.False(string.IsNullOrWhiteSpace(r.Text));
                Assert.Equal(r.From is null, r.Until is null);
                Assert.True(
                    r.Kind is not (LawKind.BlackOut or LawKind.SeasonCap) || r.From is not null
                );
                Assert.True(r.Kind is not (LawKind.Cap or LawKind.SeasonCap) || r.TotalGM2 > 0);
            }
        );
    }

    [Fact]
    public void Where_nothing_is_known_the_owner_is_told_to_look_it_up()
    {
        var said = FertilizerLaw.For("TX", Day("2026-07-01")).LookUp.InUs(DateTimeZone.Utc);
        Assert.Contains("does not mean there is none", said, StringComparison.Ordinal);
        Assert.Contains("extension office", said, StringComparison.Ordinal);
    }

    [Fact]
    public void Amounts_keep_within_the_law_and_say_so()
    {
        var lawn = new Lawn
        {
            Place = new("21401", "Annapolis", "MD", 38.98, -76.49, "America/New_York"),
            Grass = GrassKind.TallFescue,
            AreaM2 = 92.90304,
            Fertilizer = new(10, 10, 10),
        };
        var said = FeedAmount.Phrases(lawn, Lb);
        Assert.Equal(
            0.7 * Lb,
            said[0].Arguments.OfType<Quantity>().First(q => q.Kind == QuantityKind.AreaRate).Value,
            1e-9
        );
        Assert.Contains(
            said,
            p => p.InUs(DateTimeZone.Utc).Contains("Maryland law allows", StringComparison.Ordinal)
        );
        Assert.Contains(
            said,
            p => p.InUs(DateTimeZone.Utc).Contains("holds phosphate", StringComparison.Ordinal)
        );
    }

    // Rutgers on New Jersey's law: a fifth of the nitrogen slow-release; urea and ammonium sulfate have none.
    [Fact]
    public void Where_law_asks_for_slow_nitrogen_quick_salts_are_not_offered()
    {
        var lawn = new Lawn
        {
            Place = new("08540", "Princeton", "NJ", 40.35, -74.66, "America/New_York"),
            Grass = GrassKind.TallFescue,
        };
        var usual = FeedAmount.Phrases(lawn, 0.7 * Lb).Select(Text).ToList();
        Assert.DoesNotContain(usual, s => s.Contains("46-0-0", StringComparison.Ordinal));
        Assert.Contains(usual, s => s.Contains("at least 20 %", StringComparison.Ordinal));
        var own = FeedAmount.Phrases(lawn with { Fertilizer = new(46, 0, 0) }, 0.7 * Lb);
        Assert.Contains(
            own.Select(Text),
            s => s.Contains("is urea and has none", StringComparison.Ordinal)
        );
    }

    private static string Text(Phrase phrase) => phrase.InUs(DateTimeZone.Utc);

    private static LocalDate Day(string text) =>
        NodaTime.Text.LocalDatePattern.Iso.Parse(text).Value;
}
