using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>
/// Wet grass is not mown: it clumps, cuts badly and clings. The window opens at the safe end of the
/// likely dry-off, and closes when the leaves are more likely wet than dry again.
/// </summary>
public static class WetLeavesRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "wet-leaves";

    private const string Source =
        "dry-off: energy and water balance of the grass canopy (docs/science); not mowing wet grass: common practice, no source";

    /// <summary>Judges the day at the safe end.</summary>
    public static Judgement Judge(Morning morning)
    {
        var holds = Holds(morning, WetChance.SafePercent);
        var dryOff = DryOff.Of(morning);
        var findings = ImmutableArray.CreateBuilder<Finding>();
        if (dryOff is { } range)
        {
            findings.Add(Drying(morning, range, holds));
            if (morning.Growing.IsOverseed)
            {
                findings.Add(WaxyRye(morning));
            }
        }
        else if (holds.Length > 0 && holds[0].Within(morning.OwnerHours) > Duration.Zero)
        {
            findings.Add(WetLater(morning, holds));
        }
        else if (!double.IsNaN(WetChance.At(morning.Site, morning.Ahead.Start)))
        {
            findings.Add(Dry(morning));
        }

        if (morning.Lawn.Irrigated)
        {
            findings.Add(Sprinklers());
        }

        return new(holds, findings.ToImmutable());
    }

    /// <summary>
    /// Times of wet leaves: from the present until the chance falls below <paramref name="dryBelowPercent"/>,
    /// and again from <see cref="WetChance.WetAgainPercent"/> on until it falls below it. Leaves that only
    /// rain wets are no likelier wet than the rain is.
    /// </summary>
    public static ImmutableArray<Hold> Holds(Morning morning, double dryBelowPercent)
    {
        var site = morning.Site;
        var start = morning.Ahead.Start;
        var holds = ImmutableArray.CreateBuilder<Hold>();
        Instant? wetSince = WetChance.At(site, start) >= dryBelowPercent ? start : null;
        var note = WaterOnLeaves.Cause(morning, start);
        var previous = start;
        var rainChance = 100.0;
        foreach (var i in morning.HoursAhead)
        {
            var end = Instant.Min(site.HourEnd(i), morning.DayEnd);
            var chance = WetChance.At(site, end);
            rainChance = RainChance(site, i, rainChance);
            if (wetSince is { } since && chance < dryBelowPercent)
            {
                var dry = WetChance.Crossing(site, previous, end, dryBelowPercent);
                holds.Add(new(since, Clock.Up(dry), HoldKind.Blocks, note));
                wetSince = null;
            }
            else if (wetSince is null && Math.Min(chance, rainChance) >= WetChance.WetAgainPercent)
            {
                var again = WetChance.Crossing(site, previous, end, WetChance.WetAgainPercent);
                wetSince = Clock.Down(again);
                note = WaterOnLeaves.Cause(morning, site.HourEnd(i));
            }

            previous = end;
        }

        if (wetSince is { } open)
        {
            holds.Add(new(open, morning.DayEnd, HoldKind.Blocks, note));
        }

        return holds.ToImmutable();
    }

    // The chance of the rain that wets dry leaves, carried on until they are dry; 100 when it is not rain alone.
    private static double RainChance(SiteConditions site, int i, double carried)
    {
        var chance = site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i];
        var rain = site.Weather[WeatherColumn.PrecipitationMm][i];
        if (site.WetChancePercent[i] < WetChance.SafePercent || site.DewMm[i] > 0.01)
        {
            return 100;
        }

        if (!(rain > 0) || double.IsNaN(chance))
        {
            return carried;
        }

        return carried < 100 ? Math.Max(carried, chance) : chance;
    }

    private static Finding Sprinklers() =>
        new(
            Id,
            AdviceWeight.Informs,
            Phrase.Of(
                $"If your sprinklers ran this morning, go by the leaves: we cannot see them."
            ),
            Phrase.Of($"your lawn is watered"),
            Threshold(),
            "common practice, no source"
        );

    private static Finding Drying(Morning morning, DryOff range, ImmutableArray<Hold> holds)
    {
        var cause = WaterOnLeaves.CauseInWords(morning);
        var text = range switch
        {
            { Latest: { } latest, Earliest: { } earliest }
                when latest > earliest && earliest > morning.Ahead.Start => Phrase.Of(
                $"{cause}: the leaves should be dry some time between {earliest} and {latest}."
            ),
            { Latest: { } latest } => Phrase.Of(
                $"{cause}: the leaves should be dry by {latest}, perhaps sooner."
            ),
            { Median: { } median } => Phrase.Of(
                $"{cause}: even odds of dry leaves by {median}, no certainty today."
            ),
            _ => Phrase.Of($"{cause}: the leaves are likely to stay wet all day."),
        };
        // Where the likeliest course has no water, a zero beside the odds would contradict them.
        var now =
            WaterOnLeaves.Told(morning)
            ?? Phrase.Of(
                $"chance of wet leaves now {Quantity.Percent(WetChance.At(morning.Site, morning.Ahead.Start))}"
            );
        var evidence = range.Median is { } even
            ? Phrase.Of($"{now}; even odds of dry at {even}")
            : Phrase.Of($"{now}; still more likely wet than dry tonight");
        return new(Id, morning.WeightOf(holds), text, evidence, Threshold(), Source);
    }

    private static Finding WetLater(Morning morning, ImmutableArray<Hold> holds) =>
        new(
            Id,
            morning.WeightOf(holds),
            Phrase.Of($"The leaves are dry now and likely wet again from {holds[0].From}."),
            Phrase.Of(
                $"chance of wet leaves now {Quantity.Percent(WetChance.At(morning.Site, morning.Ahead.Start))}"
            ),
            Threshold(),
            Source
        );

    private static Finding Dry(Morning morning) =>
        new(
            Id,
            AdviceWeight.Supports,
            Phrase.Of($"The leaves are dry already."),
            Phrase.Of(
                $"chance of wet leaves {Quantity.Percent(WetChance.At(morning.Site, morning.Ahead.Start))}"
            ),
            Threshold(),
            Source
        );

    private static Finding WaxyRye(Morning morning) =>
        new(
            Id,
            AdviceWeight.Informs,
            Phrase.Of(
                $"Winter rye is waxy: cut wet, it sticks to the wheels, stains paving and lies in clumps."
            ),
            Phrase.Of($"{morning.Growing.Grass.Name} leads on this lawn now"),
            Threshold(),
            "common practice, no source"
        );

    private static Phrase Threshold() =>
        Phrase.Of($"dry: chance of wet leaves below {Quantity.Percent(WetChance.SafePercent)}");
}
