using System.Collections.Immutable;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Agronomy;

/// <summary>All windows and events of a lawn's year: of its base grass and of its winter overseed.</summary>
public static class SeasonCalendar
{
    /// <summary>Judges every window that the lawn has; each says which grass it speaks of.</summary>
    /// <param name="year">The lawn, its record, its season and its weather.</param>
    public static ImmutableArray<SeasonWindow> Of(LawnYear year) =>
        [.. new[] { Overseed.Judge(year), FirstFreeze.Judge(year) }.OfType<SeasonWindow>()];
}
