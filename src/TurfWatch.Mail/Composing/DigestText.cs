namespace TurfWatch.Mail.Composing;

/// <summary>The matter of the weekly digest as text.</summary>
internal static class DigestText
{
    public static void Write(TextLines text, DigestView view)
    {
        Tasks(text, view.Tasks);
        text.Links("WITH ONE CLICK", view.Offers);
        text.List("TAKE CARE", view.Cautions);
        TimelineText.Write(text, view.Timeline);
        Charts(text, view.Charts);
        Week(text, view.Week);
        text.Facts("THE WEEK THAT WAS", view.WeekThatWas);
        text.Findings("GOOD TO KNOW", view.Findings);
        text.Facts("ON YOUR RECORD", view.OnRecord);
        text.List("SOURCES", view.Sources);
    }

    private static void Tasks(TextLines text, IReadOnlyList<TaskView> tasks)
    {
        if (tasks.Count == 0)
        {
            return;
        }

        text.Heading("WHAT TO DO THIS WEEK");
        foreach (var task in tasks)
        {
            text.Wrapped(task.Title, $"{task.Number}. ", "   ");
            text.Items(task.Steps, "   ");
            Labelled(text, "How much:", task.Amounts);
            text.Finding(task.Why with { Text = $"Why: {task.Why.Text}" }, "   ", "   ");
            Labelled(text, "Take care:", task.Cautions);
        }
    }

    private static void Labelled(TextLines text, string label, IReadOnlyList<string> items)
    {
        if (items.Count > 0)
        {
            text.Line($"   {label}");
            text.Items(items, "   ");
        }
    }

    private static void Charts(TextLines text, IReadOnlyList<ChartView> charts)
    {
        if (charts.Count == 0)
        {
            return;
        }

        text.Heading("THE SEASON AT A GLANCE");
        foreach (var chart in charts)
        {
            text.Wrapped(chart.Title, "* ", "  ");
            text.Items(chart.InWords, "  ");
        }
    }

    private static void Week(TextLines text, WeekView week)
    {
        if (week.Days.Count == 0)
        {
            return;
        }

        text.Heading("THE WEEK AHEAD");
        text.Line("Day     Low to high  Chance   Rain  Wind     ET");
        foreach (var d in week.Days)
        {
            text.Line(
                $"{d.Day, -7}{d.Range, 12}{d.RainChance, 8}{d.Rain, 7}{d.Wind, 6}{d.WaterUse, 7}"
            );
            text.Wrapped(d.Note, "         ", "         ");
        }

        text.Wrapped(
            $"Low and high in {week.TemperatureUnit}, rain and the water that grass can use (ET) in {week.WaterUnit}, wind in {week.WindUnit}. Chance: of rain."
        );
    }
}
