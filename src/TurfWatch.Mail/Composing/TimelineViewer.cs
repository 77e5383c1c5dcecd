using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Windows in words and as bars.</summary>
internal static class TimelineViewer
{
    /// <summary>Why a window comes then is told in a digest once it is this near [days].</summary>
    public const int ReasonDays = 60;

    /// <param name="windows">The windows.</param>
    /// <param name="today">The day of the message.</param>
    /// <param name="say">Puts phrases into the reader's words.</param>
    /// <param name="brief">Whether what is over, done or far away is told in a line or two, for it comes every week.</param>
    public static TimelineView View(
        IReadOnlyList<SeasonWindow> windows,
        LocalDate today,
        PhraseFormatter say,
        bool brief = false
    )
    {
        var scale = TimelineScale.For(windows, today);
        var basis = Basis(windows);
        return new(
            scale.Months(),
            [
                .. windows.Select(w =>
                {
                    var view = Window(w, scale, basis.Length == 0, say);
                    return brief ? Brief(w, view, today) : view;
                }),
            ],
            basis,
            windows.All(w => w.Closes is null)
        );
    }

    /// <summary>What to say when no date has anything of this year in it.</summary>
    public static string Basis(IReadOnlyList<SeasonWindow> windows) =>
        windows.Count > 0 && windows.All(w => w.Basis == OutlookBasis.ClimateAlone)
            ? "These dates come from past years alone: nothing is known yet of the soil this year, so their ranges are wide."
            : "";

    private static WindowView Brief(SeasonWindow window, WindowView view, LocalDate today) =>
        window.Standing switch
        {
            WindowStanding.Done => view with { Dates = [], Bar = [] },
            WindowStanding.Closed => view with
            {
                Dates = view.Dates is [.., var last] ? [last] : [],
                Bar = [],
                Reason = "",
            },
            WindowStanding.Ahead
                when (window.Opens.Earliest ?? window.Opens.Median) > today.PlusDays(ReasonDays) =>
                view with
                {
                    Reason = "",
                },
            _ => view,
        };

    private static WindowView Window(
        SeasonWindow window,
        TimelineScale scale,
        bool tellBasis,
        PhraseFormatter say
    )
    {
        var (standing, tone) = window.Standing switch
        {
            WindowStanding.Open when window.Closes is null => ("Has come", "calm"),
            WindowStanding.Open => ("Open now", "go"),
            WindowStanding.ClosingSoon => ("Closes soon", "wait"),
            WindowStanding.Closed => ("Over", "stop"),
            WindowStanding.Done => ("Done", "go"),
            WindowStanding.Withheld => ("Not this season", "stop"),
            WindowStanding.Unknown => ("Not known", "calm"),
            _ => ("Ahead", "calm"),
        };
        var dated = window.Standing is not (WindowStanding.Withheld or WindowStanding.Unknown);
        var reason = window.Why is [var first, ..] ? say.Text(first.Text) : "";
        if (dated && tellBasis && window.Basis == OutlookBasis.ClimateAlone)
        {
            reason = $"{reason} Dates from past years alone.".TrimStart();
        }

        return new(
            say.Text(window.Name),
            standing,
            tone,
            dated ? [.. Dates(window, say)] : [],
            reason,
            dated ? scale.Bar(window) : []
        );
    }

    private static IEnumerable<SpreadView> Dates(SeasonWindow window, PhraseFormatter say)
    {
        // It stands open: that is past, though the days' soil leaves some doubt of which day it was.
        var open = window.Standing is WindowStanding.Open or WindowStanding.ClosingSoon;
        yield return window.Closes is null ? Spread("Comes", "Came", window.Opens, say)
        : open ? Spread("Opened", "Opened", window.Opens, say)
        : Spread("Opens", "Opened", window.Opens, say);
        if (window.Best is { } best)
        {
            yield return Spread("Best", "Best", best, say);
        }

        if (window.Closes is { } closes)
        {
            yield return Spread("Closes", "Closed", closes, say);
        }
    }

    private static SpreadView Spread(
        string ahead,
        string past,
        DateSpread spread,
        PhraseFormatter say
    )
    {
        var label = spread.Latest < say.Today ? past : ahead;
        var never =
            spread.Without > 0 ? $"not at all in {spread.Without} of {spread.Courses} years" : "";
        return spread switch
        {
            { Median: { } on, Earliest: { } e, Latest: { } l } when e == l => new(
                label,
                Near(on, say),
                ""
            ),
            { Median: { } on } => new(
                label,
                $"about {Near(on, say)}",
                Joined(Range(spread, say), never)
            ),
            { Earliest: { } e } => new(label, $"{Day(e, say)} or later", never),
            { Courses: 0 } => new(label, "not known", ""),
            _ => new(label, "not likely this season", never),
        };
    }

    private static string Near(LocalDate date, PhraseFormatter say) =>
        date == say.Today ? "today" : Day(date, say);

    private static string Range(DateSpread spread, PhraseFormatter say) =>
        (spread.Earliest, spread.Latest) switch
        {
            ({ } e, { } l) => $"{Day(e, say)} to {Day(l, say)}",
            ({ } e, null) => $"{Day(e, say)} or later",
            (null, { } l) => $"by {Day(l, say)}",
            _ => "",
        };

    // A season lies within a year of today: what lies farther needs its year.
    private static string Day(LocalDate date, PhraseFormatter say)
    {
        var far = Math.Abs(Period.DaysBetween(say.Today, date)) > 330;
        var day = far ? $"{say.MonthDay(date)}, {date.Year}" : say.MonthDay(date);
        return day.Replace(' ', PlainText.NoBreak);
    }

    private static string Joined(string a, string b) =>
        a.Length > 0 && b.Length > 0 ? $"{a}; {b}" : a + b;
}
