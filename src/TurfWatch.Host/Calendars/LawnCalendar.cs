using System.Security.Cryptography;
using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Mail;

namespace TurfWatch.Host.Calendars;

/// <summary>One whole-day entry of a lawn's calendar.</summary>
/// <param name="Key">Names it for good: an entry whose dates move keeps it.</param>
/// <param name="First">Its first day.</param>
/// <param name="Last">Its last day.</param>
/// <param name="Title">What it is.</param>
/// <param name="Text">When, with how much doubt, and why; lines.</param>
internal sealed record CalendarEntry(
    string Key,
    LocalDate First,
    LocalDate Last,
    string Title,
    string Text
)
{
    /// <summary>The same for the same words and dates, another for others.</summary>
    public string Fingerprint() =>
        Convert.ToHexStringLower(
            SHA256.HashData(
                Encoding.UTF8.GetBytes($"{First:uuuu-MM-dd}\n{Last:uuuu-MM-dd}\n{Title}\n{Text}")
            )
        );
}

/// <summary>What of a lawn's year belongs into a calendar: the season's windows, the mowing that falls due, the next feeding.</summary>
internal static class LawnCalendar
{
    private const string Brackets = "The dates in brackets hold in eight of ten years.";

    public static IReadOnlyList<CalendarEntry> Of(LawnYear year)
    {
        var say = new PhraseText(year.Lawn, year.Date);
        var windows = SeasonCalendar.Of(year);
        return
        [
            .. windows.Select(w => Window(w, say)).OfType<CalendarEntry>(),
            .. Mowing(year, say),
            .. Feeding(year, windows, say),
        ];
    }

    // A window that half of the years lack has no middle day to stand on; the page tells of it.
    private static CalendarEntry? Window(SeasonWindow window, PhraseText say)
    {
        if (
            window.Standing is WindowStanding.Withheld or WindowStanding.Unknown
            || window.Opens.Median is not { } opens
        )
        {
            return null;
        }

        var told = say.Of([window])[0];
        return new(
            window.Key,
            opens,
            LocalDate.Max(opens, window.Closes?.Median ?? opens),
            Plain(told.Name),
            Lines([
                .. told.Dates,
                Brackets,
                told.Reason,
                .. window.Standing is WindowStanding.Closed or WindowStanding.Done
                    ? []
                    : window.Amounts.Select(say.Of),
            ])
        );
    }

    private static IEnumerable<CalendarEntry> Mowing(LawnYear year, PhraseText say)
    {
        var morning = Morning.Of(year);
        if (morning.Growing.Canopy != CanopyState.Dormant && morning.Need is { Due: { } due } need)
        {
            var doubt = (need.DueEarliest, need.DueLatest) switch
            {
                ({ } from, { } until) when from != until => Phrase.Of(
                    $"It falls due between {from} and {until}, as it grows."
                ),
                _ => Phrase.Of($"It falls due about then, as it grows."),
            };
            yield return new(
                "mowing",
                due,
                due,
                $"Mow the {morning.Growing.Grass.Name}",
                Lines([
                    say.Of(doubt),
                    say.Of(Phrase.Of($"Set the mower to {Quantity.CutCm(need.SetHeightCm)}.")),
                    "Whether and from when on the day is in the morning message.",
                ])
            );
        }
    }

    // The next feeding on its best day; one that is overdue by its last.
    private static IEnumerable<CalendarEntry> Feeding(
        LawnYear year,
        IEnumerable<SeasonWindow> windows,
        PhraseText say
    )
    {
        var next = windows
            .Where(w =>
                FeedPlan.Windows.Contains(w.Kind)
                && w.AdvisedGM2 is not null
                && w.Standing
                    is WindowStanding.Open
                        or WindowStanding.ClosingSoon
                        or WindowStanding.Ahead
                && w.Opens.Median is not null
            )
            .MinBy(w => w.Opens.Median);
        if (next is null)
        {
            yield break;
        }

        var best = next.Best?.Median ?? next.Opens.Median!.Value;
        var due = best < year.Date ? next.Closes?.Median ?? best : best;
        var told = say.Of([next])[0];
        yield return new(
            "feeding",
            due,
            due,
            Plain($"Due: {told.Name}"),
            Lines([.. told.Dates, Brackets, .. next.Amounts.Select(say.Of)])
        );
    }

    private static string Lines(IEnumerable<string> lines) =>
        Plain(string.Join('\n', lines.Where(l => l.Length > 0)));

    // A space that does not break is for lines of a page; some calendars show it as a box.
    private static string Plain(string text) => text.Replace('\u00A0', ' ');
}
