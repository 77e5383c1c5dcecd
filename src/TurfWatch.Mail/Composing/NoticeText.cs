namespace TurfWatch.Mail.Composing;

/// <summary>The matter of a notice as text.</summary>
internal static class NoticeText
{
    public static void Write(TextLines text, NoticeView view)
    {
        foreach (var paragraph in view.Paragraphs)
        {
            text.Line();
            text.Wrapped(paragraph);
        }

        foreach (var link in view.Links)
        {
            text.Line();
            text.Wrapped($"{link.Label}:");
            text.Line(link.Address);
        }
    }
}
