using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>A digest tells each reason once, and points to it where it holds again.</summary>
public sealed class DigestLengthTests
{
    private const string Long =
        "The season's nitrogen goes in parts, from when the grass grows until ten weeks before frost.";

    [Fact]
    public void A_reason_that_was_told_is_pointed_to_and_certain_dates_share_a_line()
    {
        var digest = (SeasonDigest)Samples.All["week"];
        var task = digest.Tasks[0];
        var parts = TestComposer
            .Make()
            .Render(
                digest with
                {
                    Tasks = [task with { Why = Why(Long, AdviceWeight.Blocks) }],
                    Windows =
                    [
                        Window(digest, "First feeding", Long),
                        Window(
                            digest,
                            "Aeration",
                            "It closes the holes while the grass still grows."
                        ),
                        Window(
                            digest,
                            "Second aeration",
                            "It closes the holes while the grass still grows."
                        ),
                        Window(digest, "Short", "Short."),
                        Window(digest, "Short again", "Short."),
                    ],
                },
                Samples.Reader
            );

        foreach (
            var text in new[] { Flat(parts.Text), Flat(MessageBodyTests.VisibleText(parts.Html)) }
        )
        {
            Assert.Single(Occurrences(text, Long));
            Assert.Contains("Why: as for 1 above.", text, StringComparison.Ordinal);
            Assert.Single(Occurrences(text, "It closes the holes"));
            Assert.Contains("Why: as for Aeration.", text, StringComparison.Ordinal);
            // To point would be longer than to say it.
            Assert.Equal(2, Occurrences(text, "Short.").Count());
            Assert.Contains("Opens Dec 1, closes Dec 20", text, StringComparison.Ordinal);
            Assert.DoesNotContain("Against", text, StringComparison.Ordinal);
        }
    }

    private static SeasonWindow Window(SeasonDigest digest, string name, string why) =>
        digest.Windows[0] with
        {
            Name = Phrase.Of($"{name}"),
            Standing = WindowStanding.Ahead,
            Opens = DateSpread.On(new(2026, 12, 1)),
            Best = null,
            Closes = DateSpread.On(new(2026, 12, 20)),
            Basis = OutlookBasis.ThisYear,
            Why = [Why(why, AdviceWeight.Informs)],
        };

    private static Finding Why(string text, AdviceWeight weight) =>
        new(
            "test",
            weight,
            Phrase.Of($"{text}"),
            Phrase.Of($"found"),
            Phrase.Of($"rule"),
            "source"
        );

    private static IEnumerable<int> Occurrences(string text, string part)
    {
        for (
            var at = text.IndexOf(part, StringComparison.Ordinal);
            at >= 0;
            at = text.IndexOf(part, at + 1, StringComparison.Ordinal)
        )
        {
            yield return at;
        }
    }

    private static string Flat(string text) =>
        string.Join(
            ' ',
            text.Replace('\u00A0', ' ').Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)
        );
}
