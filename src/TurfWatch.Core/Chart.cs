using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>How a series is drawn.</summary>
public enum SeriesStyle
{
    /// <summary>What was: a strong line.</summary>
    Line,

    /// <summary>What is usual or middling: a thin or broken line.</summary>
    FaintLine,

    /// <summary>A range between two values on each day.</summary>
    Band,

    /// <summary>A bar a day.</summary>
    Bars,
}

/// <summary>One series of a chart.</summary>
/// <param name="Name">Name in the legend.</param>
/// <param name="Style">How it is drawn.</param>
/// <param name="First">The day of the first value.</param>
/// <param name="Values">One value a day, in the chart's unit; the upper bound of a band; NaN is a gap.</param>
/// <param name="Low">The lower bound of a band; empty otherwise.</param>
public sealed record ChartSeries(
    Phrase Name,
    SeriesStyle Style,
    LocalDate First,
    ImmutableArray<double> Values,
    ImmutableArray<double> Low
);

/// <summary>A level that matters, drawn across the chart.</summary>
/// <param name="Name">What it means.</param>
/// <param name="Value">The level, in the chart's unit.</param>
public sealed record ChartLevel(Phrase Name, double Value);

/// <summary>A chart over days, still without units, colours or layout.</summary>
/// <param name="Id">Short name, for example <c>soil</c>.</param>
/// <param name="Title">Its title.</param>
/// <param name="Unit">What its values measure.</param>
/// <param name="Today">The day that parts what was from what may come.</param>
/// <param name="Series">The series; bands first.</param>
/// <param name="Levels">Levels that matter.</param>
/// <param name="InWords">The same in words, one sentence each: the text twin.</param>
public sealed record Chart(
    string Id,
    Phrase Title,
    QuantityKind Unit,
    LocalDate Today,
    ImmutableArray<ChartSeries> Series,
    ImmutableArray<ChartLevel> Levels,
    ImmutableArray<Phrase> InWords
);
