namespace TurfWatch.Mail.Composing;

/// <summary>Windows of the season, in words and as bars over one line of months.</summary>
/// <param name="Months">The months that the bars stand over.</param>
/// <param name="Windows">The windows.</param>
/// <param name="Basis">A remark on what all dates rest on; empty when there is none.</param>
/// <param name="OnlyEvents">Whether all are days on which something comes; none opens and closes.</param>
internal sealed record TimelineView(
    IReadOnlyList<MonthView> Months,
    IReadOnlyList<WindowView> Windows,
    string Basis,
    bool OnlyEvents
);

/// <summary>One or more months at the top of the bars.</summary>
/// <param name="Name">Name of the first.</param>
/// <param name="Percent">Their share of the line [%].</param>
internal sealed record MonthView(string Name, string Percent);

/// <summary>One window.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Standing">Where it stands today.</param>
/// <param name="Tone">go, wait, stop or calm.</param>
/// <param name="Dates">Its dates.</param>
/// <param name="Reason">Why then, or why not; may be empty.</param>
/// <param name="Bar">The pieces of its bar, from left to right; empty when nothing can be drawn.</param>
internal sealed record WindowView(
    string Name,
    string Standing,
    string Tone,
    IReadOnlyList<SpreadView> Dates,
    string Reason,
    IReadOnlyList<BarPiece> Bar
);

/// <summary>A date with its doubt.</summary>
/// <param name="Label">Opens, Best or Closes.</param>
/// <param name="Date">The middle of it: "about Oct 1".</param>
/// <param name="Range">Its likely range: "Sep 24 to Oct 8"; may be empty.</param>
internal sealed record SpreadView(string Label, string Date, string Range);

/// <summary>A piece of a bar.</summary>
/// <param name="Look">none, maybe, sure, median or today.</param>
/// <param name="Percent">Its share of the line [%].</param>
internal sealed record BarPiece(string Look, string Percent);
