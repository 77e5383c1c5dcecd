using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>The time that holds leave open.</summary>
public static class OpenTime
{
    /// <summary>The stretches of <paramref name="day"/> outside every hold, at least <paramref name="atLeast"/> long, in order.</summary>
    /// <param name="day">The time to look in.</param>
    /// <param name="holds">Holds in any order; those of kind <see cref="HoldKind.Care"/> leave time open.</param>
    /// <param name="atLeast">Shorter stretches are no use.</param>
    public static ImmutableArray<Interval> Find(
        Interval day,
        IEnumerable<Hold> holds,
        Duration atLeast
    )
    {
        var open = ImmutableArray.CreateBuilder<Interval>();
        var start = day.Start;
        foreach (var hold in holds.Where(h => h.Kind != HoldKind.Care).OrderBy(h => h.From))
        {
            Add(Instant.Min(hold.From, day.End));
            start = Instant.Max(start, hold.Until);
        }

        Add(day.End);
        return open.ToImmutable();

        void Add(Instant end)
        {
            if (end > start && end - start >= atLeast)
            {
                open.Add(new(start, end));
            }
        }
    }
}
