using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>What a hold does to the time it covers.</summary>
public enum HoldKind
{
    /// <summary>No mowing in this time.</summary>
    Blocks,

    /// <summary>Mowing with care.</summary>
    Care,

    /// <summary>Nothing is known of this time, so it is not called fine.</summary>
    Unseen,
}

/// <summary>A stretch of time on which a rule has something to say.</summary>
/// <param name="From">Start.</param>
/// <param name="Until">End.</param>
/// <param name="Kind">What it does.</param>
/// <param name="Note">Why, in a word or two for the day's table: "dew", "rain".</param>
public readonly record struct Hold(Instant From, Instant Until, HoldKind Kind, string Note)
{
    /// <summary>How long it overlaps <paramref name="interval"/>.</summary>
    public Duration Within(Interval interval) =>
        Duration.Max(
            Duration.Zero,
            Instant.Min(Until, interval.End) - Instant.Max(From, interval.Start)
        );

    /// <summary>Joins holds of one kind and note that touch or overlap; the holds must be in order of time.</summary>
    public static ImmutableArray<Hold> Join(IEnumerable<Hold> holds)
    {
        var joined = ImmutableArray.CreateBuilder<Hold>();
        foreach (var hold in holds)
        {
            if (
                joined.Count > 0
                && joined[^1] is var last
                && last.Kind == hold.Kind
                && string.Equals(last.Note, hold.Note, StringComparison.Ordinal)
                && hold.From <= last.Until
            )
            {
                joined[^1] = last with { Until = Instant.Max(last.Until, hold.Until) };
            }
            else
            {
                joined.Add(hold);
            }
        }

        return joined.ToImmutable();
    }
}

/// <summary>What one rule says of the day.</summary>
/// <param name="Holds">The times it forbids, allows with care, or cannot see.</param>
/// <param name="Findings">What it tells the owner.</param>
public sealed record Judgement(ImmutableArray<Hold> Holds, ImmutableArray<Finding> Findings)
{
    /// <summary>A rule that has nothing to say.</summary>
    public static Judgement Silent { get; } = new([], []);
}
