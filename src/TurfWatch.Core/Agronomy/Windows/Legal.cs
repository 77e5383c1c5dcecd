using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>A feeding's dates as far as the state's black-out dates leave them.</summary>
/// <param name="Opens">First day that is not blacked out.</param>
/// <param name="Closes">No later than the day before the next black-out.</param>
/// <param name="Rule">The rule that took something away; null when none did.</param>
/// <param name="Shut">The whole window is blacked out.</param>
internal sealed record Legal(DateSpread Opens, DateSpread Closes, LawRule? Rule, bool Shut)
{
    // A window longer than this is looked at no further; none is.
    private const int MostDays = 366;

    /// <summary>Narrows a window by the law of the lawn's state, as far as we have read it.</summary>
    public static Legal Within(LawnYear year, DateSpread opens, DateSpread closes)
    {
        if (opens.Median is not { } from)
        {
            return new(opens, closes, null, false);
        }

        var until = LocalDate.Min(
            closes.Latest ?? closes.Median ?? from.PlusDays(MostDays),
            from.PlusDays(MostDays)
        );
        var first = from;
        LawRule? rule = null;
        while (first <= until && BlackOut(year, first) is { } shut)
        {
            rule = shut;
            first = first.PlusDays(1);
        }

        if (first > until)
        {
            return new(opens, closes, rule, rule is not null);
        }

        var last = first;
        while (last < until && BlackOut(year, last.PlusDays(1)) is null)
        {
            last = last.PlusDays(1);
        }

        if (last < until)
        {
            rule ??= BlackOut(year, last.PlusDays(1));
            closes = closes.Courses == 0 ? DateSpread.On(last) : closes.NoLaterThan(last);
        }

        return new(first == from ? opens : opens.NoEarlierThan(first), closes, rule, false);
    }

    /// <summary>What the rule took away, as a finding; null when it took nothing.</summary>
    public Finding? Said =>
        Rule is not { } rule
            ? null
            : new(
                "fertilizer-law",
                Shut ? AdviceWeight.Blocks : AdviceWeight.Limits,
                Shut
                    ? Phrase.Of(
                        $"State law does not allow this feeding on these dates: {rule.Text}. No feeding then."
                    )
                    : Phrase.Of($"State law shortens this window: {rule.Text}."),
                Phrase.Of($"{rule.Text}"),
                Phrase.Of($"black-out dates of the state, as far as we have read them"),
                rule.Source
            );

    private static LawRule? BlackOut(LawnYear year, LocalDate date) =>
        FertilizerLaw.For(year.Lawn.Place.State, date).BlackOut;
}
