using System.Text;

namespace TurfWatch.Mail.Composing;

/// <summary>The text part, written for reading as it is.</summary>
internal static class PlainTextPart
{
    private const int Width = 72;

    public static string Write(MessageView view)
    {
        var text = new StringBuilder();
        Wrapped(text, $"{view.Verdict.ToUpperInvariant()}: {view.Headline}", "", "");
        Line(text);
        Wrapped(text, $"{view.Lawn}, {view.Place}", "", "");
        Line(text, view.Day);
        List(text, "MIND THE DATA", view.DataAlarms);
        Reasons(text, "WHY", view.Reasons);
        List(text, "TAKE CARE", view.Cautions);
        Hours(text, view);
        Reasons(text, "GOOD TO KNOW", view.Notes);
        if (view.Facts.Count > 0)
        {
            Heading(text, "THE LAWN IN NUMBERS");
            foreach (var fact in view.Facts)
            {
                Wrapped(text, $"{fact.Label}: {fact.Value}", "- ", "  ");
            }
        }

        Heading(text, "WHERE THIS COMES FROM");
        foreach (var note in view.Data)
        {
            Wrapped(text, note, "- ", "  ");
        }

        Wrapped(text, view.Zone, "", "");
        Line(text);
        Line(text, "-- "); // RFC 3676 4.3: what follows is a signature.
        Wrapped(text, view.Why, "", "");
        if (view.UnsubscribeLink.Length > 0)
        {
            Line(text, "Stop these messages:");
            Line(text, view.UnsubscribeLink);
        }
        else
        {
            Line(text, "This is a preview; nothing was sent.");
        }

        Wrapped(text, $"Questions: {view.OwnerAddress}", "", "");
        Wrapped(text, Sender(view), "", "");
        return text.Replace(PlainText.NoBreak, ' ').ToString();
    }

    public static string Sender(MessageView view) =>
        view.PostalAddress.Length > 0 ? $"{view.Sender}, {view.PostalAddress}" : view.Sender;

    private static void Reasons(
        StringBuilder text,
        string heading,
        IReadOnlyList<ReasonView> reasons
    )
    {
        if (reasons.Count == 0)
        {
            return;
        }

        Heading(text, heading);
        foreach (var reason in reasons)
        {
            var weight = reason.Weight.Length > 0 ? $"{reason.Weight}: " : "";
            Wrapped(text, $"{weight}{reason.Text}", "* ", "  ");
            Wrapped(text, reason.Evidence, "  Found: ", "         ");
            Wrapped(text, reason.Threshold, "  Rule: ", "        ");
            Wrapped(text, reason.Source, "  Source: ", "          ");
        }
    }

    private static void Hours(StringBuilder text, MessageView view)
    {
        var hours = view.Hours;
        if (hours.Count == 0)
        {
            return;
        }

        Heading(text, "HOUR BY HOUR (the hour that begins at)");
        var hour = Math.Max(5, hours.Max(h => h.Hour.Length));
        Line(text, $"{"From".PadRight(hour)}  Wet grass   Rain  {view.TemperatureUnit, 4}  Mowing");
        foreach (var h in hours)
        {
            Line(
                text,
                $"{h.Hour.PadLeft(hour)}  {h.Wet, 9}  {h.Rain, 5}  {h.Temperature, 6}  {(h.Ok ? "+" : "-")} {h.Answer}"
            );
        }

        Line(text, "+ nothing known stands in the way, - better not. Wet grass, Rain: chances.");
    }

    private static void List(StringBuilder text, string heading, IReadOnlyList<string> items)
    {
        if (items.Count == 0)
        {
            return;
        }

        Heading(text, heading);
        foreach (var item in items)
        {
            Wrapped(text, item, "- ", "  ");
        }
    }

    private static void Heading(StringBuilder text, string heading)
    {
        Line(text);
        Line(text, heading);
    }

    private static void Wrapped(StringBuilder text, string sentence, string first, string rest)
    {
        if (sentence.Length == 0)
        {
            return;
        }

        foreach (var line in PlainText.Wrap(sentence, first, rest, Width))
        {
            Line(text, line);
        }
    }

    private static void Line(StringBuilder text, string line = "") =>
        text.Append(line).Append('\n');
}
