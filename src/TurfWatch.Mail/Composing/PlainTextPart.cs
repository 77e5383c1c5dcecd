namespace TurfWatch.Mail.Composing;

/// <summary>The text part, written for reading as it is.</summary>
internal static class PlainTextPart
{
    public static string Write(MessageView view)
    {
        var text = new TextLines();
        Head(text, view.Frame);
        switch (view)
        {
            case MorningView morning:
                MorningText.Write(text, morning);
                break;
            case AlertView alert:
                AlertText.Write(text, alert);
                break;
            case DigestView digest:
                DigestText.Write(text, digest);
                break;
            case NoticeView notice:
                NoticeText.Write(text, notice);
                break;
        }

        Foot(text, view.Frame);
        return text.ToString();
    }

    private static void Head(TextLines text, FrameView frame)
    {
        text.Wrapped($"{frame.Verdict.ToUpperInvariant()}: {frame.Headline}");
        if (frame.Day.Length > 0)
        {
            text.Line();
            text.Wrapped($"{frame.Lawn}, {frame.Place}");
            text.Line(frame.Day);
        }

        text.List("MIND THE DATA", frame.DataAlarms);
    }

    private static void Foot(TextLines text, FrameView frame)
    {
        if (frame.Zone.Length > 0)
        {
            text.Heading("WHERE THIS COMES FROM");
            text.Items(frame.Data);
            text.Wrapped(frame.Zone);
        }

        text.Line();
        text.Line("-- "); // RFC 3676 4.3: what follows is a signature.
        text.Wrapped(frame.Why);
        if (frame.UnsubscribeLink.Length > 0)
        {
            text.Line($"{frame.LeaveLabel}:");
            text.Line(frame.UnsubscribeLink);
        }
        else if (frame.LeaveLabel.Length > 0)
        {
            text.Line("This is a preview; nothing was sent.");
        }

        text.Wrapped($"Questions: {frame.OwnerAddress}");
        text.Wrapped(
            frame.PostalAddress.Length > 0 ? $"{frame.Sender}, {frame.PostalAddress}" : frame.Sender
        );
    }
}
