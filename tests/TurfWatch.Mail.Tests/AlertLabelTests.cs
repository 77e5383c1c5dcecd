using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>The tag of an alert says what is the case: weather that is still to come is not open.</summary>
public sealed class AlertLabelTests
{
    [Theory]
    [InlineData(WindowStanding.Ahead, "COMING: ", "Coming")]
    [InlineData(WindowStanding.Open, "OPEN NOW: ", "Open now")]
    public void A_freeze_still_ahead_is_coming(WindowStanding standing, string text, string tag)
    {
        var alert = Freeze(standing);
        var parts = TestComposer.Make().Render(alert, Samples.Reader);
        Assert.StartsWith(text, parts.Text, StringComparison.Ordinal);
        Assert.Contains($">{tag}</span>", parts.Html, StringComparison.Ordinal);
    }

    // A day on which something comes does not open, and has no best days.
    [Fact]
    public void The_bar_of_an_event_is_explained_as_one()
    {
        var html = TestComposer.Make().Render(Freeze(WindowStanding.Ahead), Samples.Reader).Html;
        Assert.DoesNotContain("Green: open", html, StringComparison.Ordinal);
        Assert.Contains("Green: the likeliest date", html, StringComparison.Ordinal);
        var feeding = TestComposer.Make().Render(Samples.Opened(), Samples.Reader).Html;
        Assert.Contains("Green: open", feeding, StringComparison.Ordinal);
    }

    private static SeasonAlert Freeze(WindowStanding standing)
    {
        var alert = Samples.Opened();
        return alert with
        {
            Offers = [],
            Window = alert.Window with
            {
                Kind = WindowKind.FirstFreeze,
                Standing = standing,
                Opens = new(
                    alert.Date.PlusDays(1),
                    alert.Date.PlusDays(2),
                    alert.Date.PlusDays(4),
                    20,
                    0
                ),
                Closes = null,
                Best = null,
                Amounts = [],
            },
        };
    }
}
