namespace TurfWatch.Mail.Composing;

/// <summary>The matter of the morning message as text.</summary>
internal static class MorningText
{
    public static void Write(TextLines text, MorningView view)
    {
        text.Findings("WHY", view.Reasons);
        text.List("TAKE CARE", view.Cautions);
        Hours(text, view);
        text.Links("WITH ONE CLICK", view.Offers);
        text.Findings("GOOD TO KNOW", view.Notes);
        text.Facts("THE LAWN IN NUMBERS", view.Facts);
    }

    private static void Hours(TextLines text, MorningView view)
    {
        var hours = view.Hours;
        if (hours.Count == 0)
        {
            return;
        }

        text.Heading("HOUR BY HOUR (the hour that begins at)");
        var hour = Math.Max(5, hours.Max(h => h.Hour.Length));
        text.Line($"{"From".PadRight(hour)}  Wet grass   Rain  {view.TemperatureUnit, 4}  Mowing");
        foreach (var h in hours)
        {
            text.Line(
                $"{h.Hour.PadLeft(hour)}  {h.Wet, 9}  {h.Rain, 5}  {h.Temperature, 6}  {(h.Ok ? "+" : "-")} {h.Answer}"
            );
        }

        text.Line("+ nothing known stands in the way, - better not. Wet grass, Rain: chances.");
    }
}
