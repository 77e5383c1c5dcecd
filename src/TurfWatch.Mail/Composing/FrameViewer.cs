using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts what is alike in all messages into the reader's words.</summary>
internal static class FrameViewer
{
    private const int LongestName = 60;
    private const int LongestSubject = 120;

    /// <param name="verdict">The tag above the headline.</param>
    /// <param name="tone">The color of the head.</param>
    /// <param name="preheader">What a list of mails shows after the subject; empty means the headline.</param>
    public static FrameView View(
        MessageContent content,
        PhraseFormatter say,
        SenderOptions sender,
        string unsubscribeLink,
        string verdict,
        string tone,
        string preheader
    )
    {
        var lawn = content.Lawn;
        var headline = say.Text(content.Headline);
        var notes = content.Data.ToLookup(
            DataNoteText.Alarms,
            n => DataNoteText.Of(n, content.MadeAt, say)
        );
        return new()
        {
            Subject = Subject(Kind(content) + say.Text(content.Subject)),
            Preheader = preheader.Length > 0 ? preheader : headline,
            Lawn = PlainText.Clip(PlainText.OneLine(lawn.Name), LongestName),
            Place = PlainText.OneLine($"{lawn.Place.Name}, {lawn.Place.State}"),
            Day = say.LongDay(content.Date),
            Verdict = verdict,
            Tone = tone,
            Headline = headline,
            DataAlarms = [.. notes[true]],
            Data = [.. notes[false]],
            Zone =
                $"All times are local ({lawn.Place.ZoneId}). Worked out at {say.Moment(content.MadeAt)}.",
            Why = "You get this message because this address is on the list for this lawn.",
            UnsubscribeLink = unsubscribeLink,
            OwnerAddress = sender.Owner,
            OwnerLink = sender.OwnerLink,
            Sender = PlainText.OneLine(sender.FromName),
            PostalAddress = PlainText.OneLine(sender.PostalAddress),
        };
    }

    /// <summary>A subject line of bounded length.</summary>
    public static string Subject(string text) =>
        PlainText.Clip(text, LongestSubject).Replace(PlainText.NoBreak, ' ');

    // The morning needs no name: it comes every day, and its verdict should be the first word.
    private static string Kind(MessageContent content) =>
        content switch
        {
            SeasonAlert => "Lawn season: ",
            SeasonDigest => "Lawn week: ",
            _ => "",
        };
}
