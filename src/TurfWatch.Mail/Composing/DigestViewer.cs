using TurfWatch.Core;
using TurfWatch.Mail.Charts;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts a weekly digest into the reader's words.</summary>
internal static class DigestViewer
{
    public static DigestView View(
        SeasonDigest digest,
        PhraseFormatter say,
        FrameMaker frame,
        IReadOnlyList<LinkView> offers,
        PictureMaker picture
    )
    {
        var verdict = digest.Tasks.Length switch
        {
            0 => "Nothing to do this week",
            1 => "One thing to do this week",
            var n => $"{n} things to do this week",
        };
        return new(frame(verdict, "calm", ""))
        {
            Tasks = [.. digest.Tasks.Select((t, i) => Task(t, i + 1, say))],
            Offers = offers,
            Cautions = say.Texts(digest.Cautions),
            Timeline = TimelineViewer.View(digest.Windows, digest.Date, say),
            Charts =
            [
                .. digest.Charts.Select(c => new ChartView(
                    say.Text(c.Title),
                    say.Texts(c.InWords),
                    picture(c, say),
                    ChartPainter.Width
                )),
            ],
            Week = Week(digest, say),
            WeekThatWas = say.View(digest.WeekThatWas),
            Findings = [.. digest.Findings.Select(say.Season)],
            OnRecord = say.View(digest.OnRecord),
        };
    }

    private static TaskView Task(LawnTask task, int number, PhraseFormatter say) =>
        new(
            number,
            say.Text(task.Title),
            say.Texts(task.Steps),
            say.Texts(task.Amounts),
            say.Season(task.Why),
            say.Texts(task.Cautions)
        );

    private static WeekView Week(SeasonDigest digest, PhraseFormatter say) =>
        new(
            QuantityText.UnitOf(QuantityKind.Temperature, say.Units),
            say.Units == UnitSystem.UsCustomary ? "inches" : "mm",
            QuantityText.UnitOf(QuantityKind.WindSpeed, say.Units),
            [.. digest.WeekAhead.Select(d => Day(d, say))]
        );

    private static WeekDayView Day(DigestDay day, PhraseFormatter say)
    {
        var low = Bare(QuantityKind.Temperature, day.MinC);
        var high = Bare(QuantityKind.Temperature, day.MaxC);
        return new(
            $"{day.Date.DayOfWeek.ToString()[..3]} {day.Date.Day}",
            low == "?" && high == "?" ? "?" : $"{low} to {high}",
            QuantityText.BareShare(day.RainChancePercent),
            day.RainMm == 0 ? "" : Bare(QuantityKind.WaterDepth, day.RainMm),
            Bare(QuantityKind.WindSpeed, day.WindMS),
            Bare(QuantityKind.WaterDepth, day.Et0Mm),
            PlainText.OneLine(day.Note)
        );

        string Bare(QuantityKind kind, double value) => QuantityText.Bare(kind, value, say.Units);
    }
}
