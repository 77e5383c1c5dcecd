using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Reckoning with dates that are not yet certain.</summary>
internal static class Spreads
{
    /// <summary>The same so many days later (earlier when negative).</summary>
    public static DateSpread Plus(this DateSpread spread, int days) =>
        spread with
        {
            Earliest = spread.Earliest?.PlusDays(days),
            Median = spread.Median?.PlusDays(days),
            Latest = spread.Latest?.PlusDays(days),
        };

    /// <summary>The same, but on <paramref name="last"/> where it would be later or never; what is unknown stays so.</summary>
    public static DateSpread NoLaterThan(this DateSpread spread, LocalDate last) =>
        spread.Courses == 0
            ? spread
            : new(
                Cap(spread.Earliest, last),
                Cap(spread.Median, last),
                Cap(spread.Latest, last),
                spread.Courses,
                0
            );

    /// <summary>The same, but on <paramref name="first"/> where it would be earlier.</summary>
    public static DateSpread NoEarlierThan(this DateSpread spread, LocalDate first) =>
        spread with
        {
            Earliest = Lift(spread.Earliest, first),
            Median = Lift(spread.Median, first),
            Latest = Lift(spread.Latest, first),
        };

    /// <summary>From one date to another as the best within a window: earliest, middle, latest; null when they are out of order or missing.</summary>
    public static DateSpread? Between(LocalDate? from, LocalDate? until) =>
        from is { } a && until is { } b && a <= b
            ? new(a, a.PlusDays(Period.DaysBetween(a, b) / 2), b, 1, 0)
            : null;

    private static LocalDate Cap(LocalDate? date, LocalDate last) =>
        date is { } known && known < last ? known : last;

    private static LocalDate? Lift(LocalDate? date, LocalDate first) =>
        date is { } known ? LocalDate.Max(known, first) : null;
}
