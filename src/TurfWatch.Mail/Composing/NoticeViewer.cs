using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts a letter of the service about itself into the reader's words.</summary>
internal static class NoticeViewer
{
    private const string NotAsked =
        "This address was given to us so that it gets messages about a lawn. If that was not you, do nothing: you are not on the list, and this request lapses by itself.";

    /// <param name="linkTo">The address of a link; null when there is none to give.</param>
    /// <param name="unsubscribeLink">Empty when there is nobody to take off a list.</param>
    public static NoticeView View(
        Notice notice,
        SenderOptions sender,
        Func<NoticeLink, string?> linkTo,
        string unsubscribeLink
    )
    {
        var say = new PhraseFormatter(
            notice.Units,
            notice.Zone,
            notice.MadeAt.InZone(notice.Zone).Date
        );
        var paragraphs = say.Texts(notice.Paragraphs);
        var confirms = notice.Kind == MessageKind.Confirmation;
        var headline = say.Text(notice.Subject);
        var frame = new FrameView
        {
            Subject = FrameViewer.Subject(headline),
            Preheader = paragraphs is [var first, ..] ? first : headline,
            Lawn = "",
            Place = "",
            Day = "",
            Verdict = confirms ? "Please confirm" : "Our answer",
            Tone = confirms ? "wait" : "calm",
            Headline = headline,
            DataAlarms = [],
            Data = [],
            Zone = "",
            Why = confirms ? NotAsked : "You get this because of what you asked or told us.",
            LeaveLabel =
                unsubscribeLink.Length == 0 ? ""
                : confirms ? "Never write to this address again"
                : "Stop all messages",
            UnsubscribeLink = unsubscribeLink,
            OwnerAddress = sender.Owner,
            OwnerLink = sender.OwnerLink,
            Sender = PlainText.OneLine(sender.FromName),
            PostalAddress = PlainText.OneLine(sender.PostalAddress),
        };
        return new(frame)
        {
            Paragraphs = paragraphs,
            Links =
            [
                .. notice
                    .Links.Select(l => (l.Label, Address: linkTo(l)))
                    .Where(l => l.Address is not null)
                    .Select(l => new LinkView(say.Text(l.Label), l.Address!)),
            ],
        };
    }
}
