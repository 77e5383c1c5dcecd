using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>A mowing that the owner leaves out is not asked for again at once.</summary>
public static class SkippedRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "skipped";

    /// <summary>Note of the hours of a day whose mowing is left out.</summary>
    public const string Note = "you skip it";

    /// <summary>The mowing is asked for again after so many days; judgement: a third of the growth from one mowing to the next, roughly.</summary>
    public const int Days = 3;

    /// <summary>The day on which the mowing is asked for again; null when none is left out on a day.</summary>
    public static LocalDate? Until(LawnRecord record, LocalDate date) =>
        record.Last(JournalKind.MowingSkipped, date) is { } skipped
        && skipped.Date.PlusDays(Days) is var until
        && date < until
        && !(record.Last(JournalKind.Mowed, date)?.Date >= skipped.Date)
            ? until
            : null;

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        if (
            Until(morning.Record, morning.Date) is not { } until
            || morning.Growing.Canopy == CanopyState.Dormant
            || GrowthNeedRule.NotYet(morning)
        )
        {
            return Judgement.Silent;
        }

        return new(
            [new(morning.Ahead.Start, morning.DayEnd, HoldKind.Blocks, Note)],
            [
                new(
                    Id,
                    AdviceWeight.Blocks,
                    Phrase.Of($"You skip this mowing; we ask again on {until}."),
                    Phrase.Of($"in your journal: skipped on {until.PlusDays(-Days)}"),
                    Phrase.Of($"asked again after {Days} days, or once you have mowed"),
                    "your own word; the days: judgement"
                ),
            ]
        );
    }
}
