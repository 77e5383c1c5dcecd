using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>What there is to mow in the week that comes.</summary>
public static class MowingTask
{
    private const int Days = 7;
    private const double LeastGrowthCmPerDay = 0.05;

    /// <summary>The tasks: the mowing that falls due, and the season's height where the owner's is lower.</summary>
    public static IEnumerable<LawnTask> Of(LawnYear year)
    {
        var morning = Morning.Of(year);
        if (morning.Growing.Canopy == CanopyState.Dormant)
        {
            yield break;
        }

        if (Mow(AtSeasonsHeight(morning)) is { } mow)
        {
            yield return mow;
        }

        if (Raise(morning) is { } raise)
        {
            yield return raise;
        }
    }

    // The week's mowing is told at the height that the season asks for: two tasks must not name two heights.
    private static Morning AtSeasonsHeight(Morning morning) =>
        morning.Height.Cm <= morning.Need.SetHeightCm + 0.01
            ? morning
            : morning with
            {
                Need = MowingNeed.Of(
                    morning.Lawn,
                    morning.Growing,
                    morning.Record,
                    morning.Site,
                    morning.Now,
                    morning.Date,
                    morning.Height.Cm,
                    morning.Need.Growth,
                    morning.Need.SetHeightCm
                ),
            };

    private static LawnTask? Mow(Morning morning)
    {
        var need = morning.Need;
        var name = morning.Growing.Grass.Name;
        var why = GrowthNeedRule.Judge(morning).Findings[0];
        var due = Quantity.HeightCm(need.DueHeightCm);
        if (double.IsNaN(need.HeightCm))
        {
            return need.RateCmPerDay >= LeastGrowthCmPerDay
                ? new(
                    Phrase.Of($"Mow when the {name} stands {due}"),
                    Steps(morning),
                    [
                        Phrase.Of(
                            $"it grows about {Quantity.HeightCm(need.RateCmPerDay * 7)} this week"
                        ),
                    ],
                    why,
                    Safety
                )
                : null;
        }

        if (need.DueEarliest is not { } earliest || earliest >= morning.Date.PlusDays(Days))
        {
            return null;
        }

        earliest = LocalDate.Max(earliest, morning.Date);

        var skipped = SkippedRule.Until(morning.Record, morning.Date);
        return new(
            (need.FirstCut, !GrowthNeedRule.NotYet(morning), need.DueLatest) switch
            {
                _ when skipped > earliest => Phrase.Of(
                    $"Mow the {name} from {skipped.Value} on; you skip the one that is due"
                ),
                (true, _, _) => Phrase.Of($"First cut of the new {name}, once it stands {due}"),
                (_, true, _) => Phrase.Of($"Mow the {name} now"),
                (_, _, { } latest) when latest > earliest => Phrase.Of(
                    $"Mow the {name} between {earliest} and {latest}"
                ),
                _ => Phrase.Of($"Mow the {name} from {earliest} on"),
            },
            Steps(morning),
            // From what height to what is in the reason and the steps.
            [],
            why,
            Safety
        );
    }

    private static ImmutableArray<Phrase> Steps(Morning morning)
    {
        var need = morning.Need;
        var set = Quantity.CutCm(need.SetHeightCm);
        if (need.FirstCut)
        {
            return
            [
                Phrase.Of($"Wait for dry ground: young roots let go and wheels dig in."),
                Phrase.Of($"Sharpen the blade first; a dull one pulls seedlings out."),
                Phrase.Of($"Set the mower to {set}; turn gently."),
            ];
        }

        var cuts = OneThirdRule.Steps(need.HeightCm, need.SetHeightCm);
        if (!(need.HeightCm > GrowthNeedRule.GotAway * need.DueHeightCm) || cuts.Length < 2)
        {
            return
            [
                Phrase.Of($"Set the mower to {set} and mow dry grass in the morning."),
                Phrase.Of($"Leave the clippings unless they lie in clumps."),
                .. need.Growth.FromRecord ? ImmutableArray<Phrase>.Empty : [Measure],
            ];
        }

        return
        [
            .. cuts.Select(
                (cut, i) =>
                    i == 0
                        ? Phrase.Of(
                            $"First cut: down to {Quantity.HeightCm(cut)}, a third at most."
                        )
                        : Phrase.Of(
                            $"{OneThirdRule.DaysBetweenSteps} days or more after that: down to {Quantity.HeightCm(cut)}."
                        )
            ),
            Phrase.Of($"Rake off what lies in clumps: it smothers what is below."),
        ];
    }

    // The owner's own height stays his; when the season asks for more, it is asked for.
    private static LawnTask? Raise(Morning morning) =>
        morning.Height.Cm <= morning.Need.SetHeightCm + 0.01
        || GrowthNeedRule.SeasonHeight(morning) is not { } why
            ? null
            : new(
                Phrase.Of($"Raise the mower to {Quantity.CutCm(morning.Height.Cm)}"),
                [
                    Phrase.Of(
                        $"You mow at {Quantity.CutCm(morning.Need.SetHeightCm)}: set the deck higher for the time being, and come down later by a third at most."
                    ),
                ],
                [],
                why,
                []
            );

    private static readonly Phrase Measure = Phrase.Of(
        $"Measure the grass before you cut it and write the height down: that makes the growth your lawn's own."
    );

    private static readonly ImmutableArray<Phrase> Safety =
    [
        Phrase.Of(
            $"Clear stones and toys, keep children and pets away, wear closed shoes, eye and ear protection; your mower's manual has the last word."
        ),
    ];
}
