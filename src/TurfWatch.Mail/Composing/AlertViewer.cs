using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts an alert into the reader's words.</summary>
internal static class AlertViewer
{
    public static AlertView View(
        SeasonAlert alert,
        PhraseFormatter say,
        FrameMaker frame,
        IReadOnlyList<LinkView> offers
    )
    {
        var window = alert.Window;
        var (verdict, tone) = (alert.Event, window.Standing) switch
        {
            // Weather that is still to come: told before it is there.
            (WindowEvent.Opened, WindowStanding.Ahead) => ("Coming", "wait"),
            (WindowEvent.Opened, _) => ("Open now", "go"),
            (WindowEvent.ClosingSoon, _) => ("Closes soon", "wait"),
            _ => ("Over for this season", "stop"),
        };
        return new(frame(verdict, tone, window.Steps is [var first, ..] ? say.Text(first) : ""))
        {
            Steps = say.Texts(window.Steps),
            Amounts = say.Texts(window.Amounts),
            Offers = offers,
            Timeline = TimelineViewer.View([window], alert.Date, say) with
            {
                Basis = TimelineViewer.Basis([window]),
            },
            Reasons = [.. window.Why.Select(say.Season)],
            Cautions =
            [
                .. say.Texts(window.Cautions)
                    .Union(say.Texts(alert.Cautions), StringComparer.Ordinal),
            ],
            Facts = say.View(alert.Facts),
        };
    }
}
