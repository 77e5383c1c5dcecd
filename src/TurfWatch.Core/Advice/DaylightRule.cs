using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Advice;

/// <summary>Mowing from sunrise to sunset only: one must see what the blade will meet.</summary>
public static class DaylightRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "daylight";

    /// <summary>Share of the owner's hours that the dark must take before it is told among the first reasons; judgement.</summary>
    public const double WorthTelling = 0.25;

    private const string Source =
        "sunrise and sunset: NOAA solar equations; mowing by daylight: common practice, no source";

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var place = morning.Lawn.Place;
        var sun = Sun.ForDate(morning.Date, morning.Zone, place.LatitudeDeg, place.LongitudeDeg);
        var ahead = morning.Ahead;
        if (sun.Sunrise is not { } rise || sun.Sunset is not { } set)
        {
            return sun.DayLength > Duration.Zero
                ? Judgement.Silent
                : Tell(
                    morning,
                    [new(ahead.Start, ahead.End, HoldKind.Blocks, "dark")],
                    Phrase.Of($"The sun does not rise today.")
                );
        }

        var holds = ImmutableArray.CreateBuilder<Hold>();
        if (rise > ahead.Start)
        {
            holds.Add(new(ahead.Start, Clock.Up(rise), HoldKind.Blocks, "dark"));
        }

        if (set < ahead.End)
        {
            holds.Add(
                new(Instant.Max(Clock.Down(set), ahead.Start), ahead.End, HoldKind.Blocks, "dark")
            );
        }

        return Tell(
            morning,
            holds.ToImmutable(),
            Phrase.Of($"Daylight lasts from {rise} to {set}.")
        );
    }

    private static Judgement Tell(Morning morning, ImmutableArray<Hold> holds, Phrase text) =>
        holds.Any(h => h.Within(morning.OwnerHours) > Duration.Zero)
            ? new(
                holds,
                [
                    new(
                        Id,
                        Weight(morning, holds),
                        text,
                        Phrase.Of(
                            $"you mow between {morning.Lawn.MowFrom} and {morning.Lawn.MowUntil}"
                        ),
                        Phrase.Of($"between sunrise and sunset"),
                        Source
                    ),
                ]
            )
            : new(holds, []);

    private static AdviceWeight Weight(Morning morning, ImmutableArray<Hold> holds)
    {
        var weight = morning.WeightOf(holds);
        var hours = morning.OwnerHours;
        var taken = holds.Aggregate(Duration.Zero, (sum, h) => sum + h.Within(hours));
        return weight == AdviceWeight.Limits && taken < (hours.End - hours.Start) * WorthTelling
            ? AdviceWeight.Informs
            : weight;
    }
}
