namespace TurfWatch.Mail.Composing;

/// <summary>The matter of an alert as text.</summary>
internal static class AlertText
{
    public static void Write(TextLines text, AlertView view)
    {
        text.List("WHAT TO DO", view.Steps);
        text.List("HOW MUCH", view.Amounts);
        text.Links("WITH ONE CLICK", view.Offers);
        text.Heading("WHEN");
        foreach (var window in view.Timeline.Windows)
        {
            TimelineText.Dates(text, window, "");
        }

        text.Wrapped(TimelineText.Brackets);
        text.Wrapped(view.Timeline.Basis);
        text.Findings("WHY NOW", view.Reasons);
        text.List("TAKE CARE", view.Cautions);
        text.Facts("NUMBERS THAT BEAR ON IT", view.Facts);
    }
}
