namespace TurfWatch.Mail.Composing;

/// <summary>Windows of the season as text.</summary>
internal static class TimelineText
{
    public const string Brackets = "The dates in brackets hold in eight of ten years.";

    public static void Write(TextLines text, TimelineView timeline)
    {
        if (timeline.Windows.Count == 0)
        {
            return;
        }

        text.Heading("THE SEASON'S WINDOWS");
        text.Wrapped(Brackets);
        text.Wrapped(timeline.Basis);
        foreach (var window in timeline.Windows)
        {
            text.Wrapped($"{window.Name}: {window.Standing.ToLowerInvariant()}", "* ", "  ");
            Dates(text, window, "  ");
            text.Wrapped(window.Reason, "  ", "  ");
        }
    }

    public static void Dates(TextLines text, WindowView window, string indent)
    {
        foreach (var date in window.Dates)
        {
            var range = date.Range.Length > 0 ? $" ({date.Range})" : "";
            text.Wrapped($"{date.Label} {date.Date}{range}", indent, indent + "  ");
        }
    }
}
