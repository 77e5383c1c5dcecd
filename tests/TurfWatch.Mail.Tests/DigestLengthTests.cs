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

    // What is over or done asks for nothing: a line each, without its dates to come, bar and reason of old.
    [Fact]
    public void Windows_that_are_over_or_done_take_a_line()
    {
        var digest = (SeasonDigest)Samples.All["week"];
        var gone = Window(digest, "Aeration", "It closes the holes.") with
        {
            Standing = WindowStanding.Closed,
            Opens = DateSpread.On(new(2026, 10, 1)),
            Closes = DateSpread.On(new(2026, 11, 2)),
        };
        var done = gone with
        {
            Name = Phrase.Of($"Overseed"),
            Standing = WindowStanding.Done,
            Closes = DateSpread.On(new(2026, 12, 18)),
            Why = [Why("Your journal says that you sowed.", AdviceWeight.Informs)],
        };
        foreach (var text in Both(digest with { Tasks = [], Windows = [gone, done] }))
        {
            Assert.Contains("Closed Nov 2", text, StringComparison.Ordinal);
            Assert.Contains("Your journal says that you sowed.", text, StringComparison.Ordinal);
            Assert.DoesNotContain("Opened Oct 1", text, StringComparison.Ordinal);
            Assert.DoesNotContain("Dec 18", text, StringComparison.Ordinal);
            Assert.DoesNotContain("It closes the holes.", text, StringComparison.Ordinal);
        }
    }

    // Why a window half a year off comes then is told as it draws near, not every week until then.
    [Theory]
    [InlineData(60, true)]
    [InlineData(61, false)]
    public void The_reason_of_a_far_window_waits(int days, bool told)
    {
        var digest = (SeasonDigest)Samples.All["week"];
        var opens = digest.Date.PlusDays(days);
        var far = Window(digest, "Aeration", "It closes the holes.") with
        {
            Opens = new(opens, opens.PlusDays(9), opens.PlusDays(20), 20, 0),
        };
        foreach (var text in Both(digest with { Tasks = [], Windows = [far] }))
        {
            Assert.Equal(told, text.Contains("It closes the holes.", StringComparison.Ordinal));
            Assert.Contains("Opens about", text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void An_event_that_came_has_come()
    {
        var digest = (SeasonDigest)Samples.All["week"];
        var came = Window(digest, "First frost", "It came.") with
        {
            Standing = WindowStanding.Open,
            Opens = DateSpread.On(digest.Date.PlusDays(-3)),
            Closes = null,
        };
        foreach (var text in Both(digest with { Tasks = [], Windows = [came] }))
        {
            Assert.Contains("has come", text, StringComparison.OrdinalIgnoreCase);
            Assert.DoesNotContain("open now", text, StringComparison.OrdinalIgnoreCase);
        }
    }

    [Fact]
    public void Each_source_stands_once_at_the_end_and_is_pointed_to_by_its_number()
    {
        var digest = (SeasonDigest)Samples.All["week"];
        var task = digest.Tasks[0];
        var one = Why(Long, AdviceWeight.Informs) with { Source = "Beard 1973" };
        var two = Why("The soil is dry.", AdviceWeight.Informs) with { Source = "FAO-56" };
        foreach (
            var text in Both(
                digest with
                {
                    Tasks = [task with { Why = one }, task with { Why = two }],
                    Findings = [one with { Text = Phrase.Of($"Another.") }],
                }
            )
        )
        {
            Assert.Single(Occurrences(text, "Beard 1973"));
            Assert.Single(Occurrences(text, "FAO-56"));
            Assert.Equal(2, Occurrences(text, "Rule: rule [1]").Count());
            Assert.Single(Occurrences(text, "Rule: rule [2]"));
            Assert.Contains("[1] Beard 1973", text, StringComparison.Ordinal);
            Assert.True(
                text.IndexOf("Beard 1973", StringComparison.Ordinal)
                    > text.IndexOf("Another.", StringComparison.Ordinal)
            );
        }
    }

    [Fact]
    public void Cautions_that_a_task_told_are_pointed_to()
    {
        var digest = (SeasonDigest)Samples.All["week"];
        var task = digest.Tasks[0] with
        {
            Cautions = [Phrase.Of($"Mark pipes and cables first."), Phrase.Of($"It is heavy.")],
        };
        foreach (
            var text in Both(
                digest with
                {
                    Tasks = [task, task, task with { Cautions = [Phrase.Of($"It is heavy.")] }],
                }
            )
        )
        {
            Assert.Single(Occurrences(text, "Mark pipes and cables first."));
            Assert.Single(Occurrences(text, "As for 1 above."));
            // Of two only the one: told in full.
            Assert.Equal(2, Occurrences(text, "It is heavy.").Count());
        }
    }

    private static string[] Both(SeasonDigest digest)
    {
        var parts = TestComposer.Make().Render(digest, Samples.Reader);
        return [Flat(parts.Text), Flat(MessageBodyTests.VisibleText(parts.Html))];
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
