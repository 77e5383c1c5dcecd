using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>Whether the grass needs mowing yet: the one-third rule, as far as the journal tells.</summary>
public static class GrowthNeedRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "growth-need";

    /// <summary>A mowing this many days before the earliest likely due date is not called too soon.</summary>
    public const int EarlyDays = 1;

    /// <summary>Grass this far over the height at which it falls due has got away.</summary>
    public const double GotAway = 1.1;

    private const string Source =
        "one-third rule: University of Tennessee (Sorochan), mow at 1.5 times the set height; growth: Gelernter & Stowell 2005, rates are judgement";

    /// <summary>Whether the grass is known not to need mowing yet.</summary>
    public static bool NotYet(Morning morning)
    {
        var need = morning.Need;
        return need.LastMowed is not null
            && !double.IsNaN(need.HeightCm)
            && (need.DueEarliest is not { } due || due > morning.Date.PlusDays(EarlyDays));
    }

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        if (morning.Growing.Canopy == CanopyState.Dormant)
        {
            return Judgement.Silent;
        }

        var findings = ImmutableArray.CreateBuilder<Finding>();
        findings.Add(Need(morning));
        if (morning.Growing.IsOverseed)
        {
            findings.Add(WinterHeight(morning));
        }

        return new([], findings.ToImmutable());
    }

    private static Finding Need(Morning morning)
    {
        var need = morning.Need;
        var grass = morning.Growing.Grass;
        var threshold = Phrase.Of(
            $"mow at {Quantity.HeightCm(need.DueHeightCm)}, down to {Quantity.HeightCm(need.SetHeightCm)}"
        );
        if (need.LastMowed is not { } mowed || double.IsNaN(need.HeightCm))
        {
            return new(
                Id,
                AdviceWeight.Informs,
                need.LastMowed is null
                    ? Phrase.Of(
                        $"We know of no mowing yet: the {grass.Name} needs one when it stands {Quantity.HeightCm(need.DueHeightCm)} high. Once the journal has a mowing, we reckon the next."
                    )
                    : Phrase.Of(
                        $"We know when you mowed but not the weather since: mow when the {grass.Name} stands {Quantity.HeightCm(need.DueHeightCm)} high."
                    ),
                double.IsNaN(need.RateCmPerDay)
                    ? Phrase.Of($"growth not known")
                    : Phrase.Of($"growing about {Quantity.HeightCm(need.RateCmPerDay * 7)} a week"),
                threshold,
                Source
            );
        }

        var evidence = Phrase.Of(
            $"about {Quantity.HeightCm(need.HeightCm)} now, give or take {Quantity.HeightCm(need.HeightErrorCm)}; mowed on {mowed}"
        );
        if (NotYet(morning))
        {
            return new(
                Id,
                AdviceWeight.Blocks,
                NotYetText(need, grass),
                evidence,
                threshold,
                Source
            );
        }

        // An estimate a little over the mark is no reason for two cuts.
        var gotAway = need.HeightCm > GotAway * need.DueHeightCm;
        var steps = OneThirdRule.Steps(need.HeightCm, need.SetHeightCm);
        return new(
            Id,
            AdviceWeight.Supports,
            gotAway
                ? Phrase.Of(
                    $"The {grass.Name} has got away: take it down in {steps.Length} cuts a few days apart, the first to {Quantity.HeightCm(steps[0])}."
                )
                : Phrase.Of(
                    $"The {grass.Name} is due for a cut about now, down to {Quantity.HeightCm(need.SetHeightCm)}."
                ),
            evidence,
            threshold,
            Source
        );
    }

    private static Phrase NotYetText(MowingNeed need, Grass grass) =>
        (need.DueEarliest, need.DueLatest) switch
        {
            ({ } from, { } until) when from != until => Phrase.Of(
                $"The {grass.Name} should fall due between {from} and {until}."
            ),
            ({ } from, { }) => Phrase.Of($"The {grass.Name} should fall due about {from}."),
            ({ } from, null) => Phrase.Of(
                $"The {grass.Name} should fall due {from} at the earliest."
            ),
            _ => Phrase.Of(
                $"At this growth the {grass.Name} stays below its mark for {MowingNeed.LookAheadDays} days and more."
            ),
        };

    private static Finding WinterHeight(Morning morning)
    {
        var heights = morning.Growing.Heights;
        return new(
            Id,
            AdviceWeight.Informs,
            Phrase.Of(
                $"This speaks of the {morning.Growing.Grass.Name} over your {Grasses.Of(morning.Lawn.Grass).Name}: in winter keep it taller."
            ),
            Phrase.Of($"height of cut now {Quantity.HeightCm(morning.Need.SetHeightCm)}"),
            Phrase.Of($"{Quantity.HeightCm(heights.MinCm)} to {Quantity.HeightCm(heights.MaxCm)}"),
            heights.Source
        );
    }
}
