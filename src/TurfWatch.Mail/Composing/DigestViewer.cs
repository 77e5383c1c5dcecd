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
        var sources = new SourceList();
        TaskView[] tasks = [.. digest.Tasks.Select((t, i) => Task(t, i + 1, say, sources))];
        FindingView[] findings = [.. digest.Findings.Select(f => sources.Point(say.Season(f)))];
        tasks = Shorter(tasks);
        return new(frame(verdict, "calm", ""))
        {
            Tasks = tasks,
            Offers = offers,
            Cautions = say.Texts(digest.Cautions),
            Timeline = Short(
                TimelineViewer.View(digest.Windows, digest.Date, say, brief: true),
                tasks
            ),
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
            Findings = findings,
            OnRecord = say.View(digest.OnRecord),
            Sources = sources.Told,
        };
    }

    private static TaskView Task(
        LawnTask task,
        int number,
        PhraseFormatter say,
        SourceList sources
    ) =>
        new(
            number,
            say.Text(task.Title),
            say.Texts(task.Steps),
            say.Texts(task.Amounts),
            // A task is told because it is to be done: no weight stands before its reason.
            sources.Point(say.Season(task.Why) with { Weight = "" }),
            say.Texts(task.Cautions)
        );

    /// <summary>Cautions that an earlier task told in the same words are pointed to; a single one is told again.</summary>
    private static TaskView[] Shorter(IReadOnlyList<TaskView> tasks) =>
        [
            .. tasks.Select(task =>
                task.Cautions.Count > 1
                && tasks.First(t => t.Cautions.SequenceEqual(task.Cautions, StringComparer.Ordinal))
                    is var first
                && first.Number < task.Number
                    ? task with
                    {
                        Cautions = [$"As for {first.Number} above."],
                    }
                    : task
            ),
        ];

    /// <summary>A reason that a task or another window has told already is pointed to; two dates that are certain share a line.</summary>
    private static TimelineView Short(TimelineView timeline, IReadOnlyList<TaskView> tasks)
    {
        var told = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var task in tasks)
        {
            told.TryAdd(task.Why.Text, $"Why: as for {task.Number} above.");
        }

        return timeline with
        {
            Windows = [.. timeline.Windows.Select(OneWindow)],
        };

        WindowView OneWindow(WindowView window)
        {
            var dates = window.Dates is [{ Range: "" } first, { Range: "" } second]
                ?
                [
                    new(
                        first.Label,
                        $"{first.Date}, {second.Label.ToLowerInvariant()} {second.Date}",
                        ""
                    ),
                ]
                : window.Dates;
            var reason = window.Reason;
            if (told.TryGetValue(reason, out var place) && place.Length < reason.Length)
            {
                reason = place;
            }
            else if (reason.Length > 0)
            {
                told.TryAdd(reason, $"Why: as for {window.Name}.");
            }

            return window with
            {
                Dates = dates,
                Reason = reason,
            };
        }
    }

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
