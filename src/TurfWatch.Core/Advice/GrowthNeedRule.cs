using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>Whether the grass needs mowing yet: the one-third rule, as far as the journal tells.</summary>
public static class GrowthNeedRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "growth-need";

    /// <summary>Id of the finding on the season's height.</summary>
    public const string HeightId = "seasonal-height";

    /// <summary>A mowing this many days before the date on which it falls due is not called too soon.</summary>
    public const int EarlyDays = 1;

    /// <summary>Grass this far over the height at which it falls due has got away.</summary>
    public const double GotAway = 1.1;

    private const int YoungDays = 60;

    // From November, when the grass below rests in most places, until February; judgement.
    private const int WinterFrom = 11;
    private const int WinterUntil = 2;

    private const string FirstCutSource =
        "first cut a third above the height of cut: common practice; Iowa State University extension (5 May 1992) cuts new bluegrass to 2 in when it stands 3 in";

    private const string Source =
        "one-third rule: University of Tennessee (Sorochan), mow at 1.5 times the set height; growth: Gelernter & Stowell 2005, rates are judgement until your record corrects them";

    /// <summary>Whether the grass is known not to need mowing yet.</summary>
    public static bool NotYet(Morning morning)
    {
        var need = morning.Need;
        return (need.LastMowed is not null || need.FirstCut)
            && !double.IsNaN(need.HeightCm)
            && (need.Due is not { } due || due > morning.Date.PlusDays(EarlyDays));
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
            findings.Add(OverseedHeight(morning));
        }

        if (
            !NotYet(morning)
            && (morning.Height.Reason != HeightReason.Shade || MowsTooLow(morning))
            && SeasonHeight(morning) is { } height
        )
        {
            findings.Add(height);
        }

        if (NewSeed(morning) is { } seed)
        {
            findings.Add(seed);
        }

        return new(Seedlings(morning), findings.ToImmutable());
    }

    // Wheels and blade tear seedlings out: until the first cut is near, the whole day is closed.
    private static ImmutableArray<Hold> Seedlings(Morning morning) =>
        morning.Need.FirstCut && NotYet(morning)
            ? [new(morning.Ahead.Start, morning.DayEnd, HoldKind.Blocks, "new seed")]
            : [];

    // Shade stays: it is told to who mows too low for it, not every day.
    private static bool MowsTooLow(Morning morning) =>
        morning.Need.SetHeightCm < morning.Height.Cm - 0.01;

    /// <summary>The season's height, when it is not the usual one.</summary>
    public static Finding? SeasonHeight(Morning morning)
    {
        var height = morning.Height;
        var shade = morning.Growing.Grass.Shade;
        var set = Quantity.CutCm(height.Cm);
        Phrase? text = height.Reason switch
        {
            HeightReason.Heat => Phrase.Of(
                $"The soil is hotter than its roots bear: mow no lower than {set} until it cools."
            ),
            HeightReason.Drought => Phrase.Of(
                $"The soil is dry: mow no lower than {set} until it has rained or been watered well."
            ),
            HeightReason.Fall => Phrase.Of(
                $"Mow no lower than {set} from now until it goes to rest: more leaf feeds the roots."
            ),
            HeightReason.Shade => Phrase.Of(
                $"In the shade mow no lower than {set}: more leaf makes up for less light."
            ),
            _ => null,
        };
        return text is null
            ? null
            : new(
                HeightId,
                AdviceWeight.Informs,
                text,
                height.Reason == HeightReason.Shade
                        ? Phrase.Of(
                            $"{morning.Growing.Grass.Name}: {shade.Text}; under {Quantity.Hours(shade.LeastSunHours)} of sun a day it thins"
                        )
                    : double.IsNaN(morning.SoilC)
                        ? Phrase.Of($"height of cut now {Quantity.CutCm(morning.Need.SetHeightCm)}")
                    : Phrase.Of(
                        $"height of cut now {Quantity.CutCm(morning.Need.SetHeightCm)}; soil {Quantity.TemperatureC(morning.SoilC)} at {morning.TenCm}"
                    ),
                Phrase.Of($"at least {set}"),
                height.Source
            );
    }

    // Young grass among old: the first cut of an overseed is the growth need itself.
    private static Finding? NewSeed(Morning morning)
    {
        var sown = morning.Record.Last(JournalKind.Seeded, morning.Date);
        var mowed = morning.Record.Last(JournalKind.Mowed, morning.Date);
        if (
            morning.Need.FirstCut
            || sown is null
            || Period.DaysBetween(sown.Date, morning.Date) > YoungDays
            || (
                mowed is not null
                && Period.DaysBetween(sown.Date, mowed.Date)
                    > MowingNeed.UpAfterDays(Grasses.Of(sown.Grass ?? morning.Growing.Grass.Kind))
            )
        )
        {
            return null;
        }

        var due = Quantity.HeightCm(OneThirdRule.FirstCutDueCm(morning.Need.SetHeightCm));
        return new(
            Id,
            AdviceWeight.Cautions,
            Phrase.Of(
                $"Where you sowed, wait for the first cut until the young grass stands {due}: on dry ground, with a sharp blade."
            ),
            Phrase.Of($"sown on {sown.Date}; no mowing since it came up"),
            Phrase.Of($"first cut a third above the height of cut"),
            FirstCutSource
        );
    }

    /// <summary>The first of the cuts that take grass down that got away [cm]; null when one cut does it.</summary>
    /// <remarks>An estimate a little over the mark is no reason for two cuts.</remarks>
    public static double? FirstStepCm(Morning morning)
    {
        var need = morning.Need;
        return
            !need.FirstCut
            && !NotYet(morning)
            && need.HeightCm > GotAway * need.DueHeightCm
            && OneThirdRule.Steps(need.HeightCm, need.SetHeightCm) is { Length: > 1 } steps
            ? steps[0]
            : null;
    }

    private static Finding Need(Morning morning)
    {
        var need = morning.Need;
        var grass = morning.Growing.Grass;
        if (need.FirstCut)
        {
            return FirstCut(morning);
        }

        var threshold = Phrase.Of(
            $"mow at {Quantity.HeightCm(need.DueHeightCm)}, down to {Quantity.CutCm(need.SetHeightCm)}"
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
            $"about {Quantity.HeightCm(need.HeightCm)} now, give or take {Quantity.HeightCm(need.HeightErrorCm)}; mowed on {mowed}{ByRecord(need.Growth)}"
        );
        if (NotYet(morning))
        {
            return new(
                Id,
                AdviceWeight.Blocks,
                NotYetText(morning, grass),
                evidence,
                threshold,
                Source
            );
        }

        var gotAway = FirstStepCm(morning) is not null;
        var steps = OneThirdRule.Steps(need.HeightCm, need.SetHeightCm);
        return new(
            Id,
            AdviceWeight.Supports,
            gotAway
                ? Phrase.Of(
                    $"The {grass.Name} has got away: take it down in {steps.Length} cuts a few days apart, the first to {Quantity.HeightCm(steps[0])}."
                )
                : Phrase.Of(
                    $"The {grass.Name} is due for a cut about now, down to {Quantity.CutCm(need.SetHeightCm)}."
                ),
            evidence,
            threshold,
            Source
        );
    }

    private static Finding FirstCut(Morning morning)
    {
        var need = morning.Need;
        var name = morning.Growing.Grass.Name;
        var due = Quantity.HeightCm(need.DueHeightCm);
        var notYet = NotYet(morning);
        return new(
            Id,
            notYet ? AdviceWeight.Blocks : AdviceWeight.Supports,
            (notYet, need.DueEarliest, need.DueLatest) switch
            {
                (true, { } from, { } until) => Phrase.Of(
                    $"The new {name} has its first cut when it stands {due}, likely between {from} and {until}."
                ),
                (true, { } from, null) => Phrase.Of(
                    $"The new {name} has its first cut when it stands {due}: {from} at the earliest."
                ),
                (true, _, _) => Phrase.Of(
                    $"The new {name} has its first cut when it stands {due}; that is {MowingNeed.LookAheadDays} days off and more."
                ),
                _ => Phrase.Of(
                    $"Once the new {name} stands {due}, give it its first cut, down to {Quantity.CutCm(need.SetHeightCm)}: on dry ground, with a sharp blade."
                ),
            },
            need.HeightCm == 0
                ? Phrase.Of($"not up yet, by our reckoning")
                : Phrase.Of(
                    $"by its growth about {Quantity.HeightCm(need.HeightCm)} now, give or take {Quantity.HeightCm(need.HeightErrorCm)}"
                ),
            Phrase.Of($"first cut a third above the height of cut"),
            FirstCutSource
        );
    }

    private static string ByRecord(GrowthCorrection growth) =>
        growth.FromRecord ? "; growth by what you measured" : "";

    private static Phrase NotYetText(Morning morning, Grass grass)
    {
        var need = morning.Need;
        return (need.DueEarliest, need.Due, need.DueLatest) switch
        {
            ({ } from, { } due, _) when from <= morning.Date => Phrase.Of(
                $"The {grass.Name} should fall due about {due}; if it stands {Quantity.HeightCm(need.DueHeightCm)} already, it is due now."
            ),
            ({ } from, { } due, { } until) when from < due || due < until => Phrase.Of(
                $"The {grass.Name} should fall due about {due}, between {from} and {until}."
            ),
            (_, { } due, { }) => Phrase.Of($"The {grass.Name} should fall due about {due}."),
            ({ } from, { } due, null) => Phrase.Of(
                $"The {grass.Name} should fall due about {due}, {from} at the earliest."
            ),
            ({ } from, null, _) => Phrase.Of(
                $"The {grass.Name} should fall due {from} at the earliest."
            ),
            _ => Phrase.Of(
                $"At this growth the {grass.Name} stays below its mark for {MowingNeed.LookAheadDays} days and more."
            ),
        };
    }

    private static Finding OverseedHeight(Morning morning)
    {
        var heights = morning.Growing.Heights;
        var name = morning.Growing.Grass.Name;
        var below = Grasses.Of(morning.Lawn.Grass).Name;
        return new(
            Id,
            AdviceWeight.Informs,
            morning.Date.Month is >= WinterFrom or <= WinterUntil
                ? Phrase.Of(
                    $"This speaks of the {name} over your {below}: in winter keep it taller."
                )
                : Phrase.Of($"This speaks of the {name} over your {below}."),
            Phrase.Of($"height of cut now {Quantity.CutCm(morning.Need.SetHeightCm)}"),
            Phrase.Of($"{Quantity.CutCm(heights.MinCm)} to {Quantity.CutCm(heights.MaxCm)}"),
            heights.Source
        );
    }
}
