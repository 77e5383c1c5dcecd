using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Feeding winter rye: the first time when it is rooted, then about monthly while it grows.</summary>
/// <remarks>
/// Texas AgriLife (overseeding): 1 to 2 lb of nitrogen on 1,000 sq ft over the winter. In half pounds about monthly, the
/// first two to five weeks after it is up: common practice, no source. A monthly feeding waits until the ten-day mean of the
/// air gives the rye a growth potential above 0.2, and the last is five weeks before the base usually turns green: North
/// Carolina and Arizona warn against feeding rye into the transition; the four to six weeks are judgement.
/// </remarks>
internal static class RyeFeeding
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "rye-feeding";

    /// <summary>Days after the rye is up at which the first feeding opens; common practice, no source.</summary>
    public const int FirstFromDays = 14;

    /// <summary>Days after it is up at which the first feeding closes; common practice, no source.</summary>
    public const int FirstUntilDays = 35;

    /// <summary>Days from one feeding to the next; common practice, no source.</summary>
    public const int EveryDays = 28;

    /// <summary>Days for which a monthly feeding stays open; judgement.</summary>
    public const int OpenDays = 21;

    /// <summary>Growth potential below which the rye is not fed; judgement.</summary>
    public const double LeastGrowth = 0.2;

    /// <summary>Days before the usual green-up of the base at which feeding stops: the middle of 4 to 6 weeks; judgement.</summary>
    public const int StopDays = 35;

    /// <summary>Fewest days of growth in which a monthly feeding is worth it; judgement.</summary>
    public const int LeastOpenDays = 7;

    private const int MeanDays = 10;

    private const string Source =
        "Texas AgriLife (overseeding): 1-2 lb of nitrogen over the winter; half pounds about monthly: common practice, no source; not into the transition: North Carolina and Arizona extension, the weeks are judgement";

    /// <summary>Judges the first feeding; null for a lawn that is not overseeded, or when no rye is expected.</summary>
    public static SeasonWindow? JudgeFirst(LawnYear year) => Plan(year)?.First.Window(year);

    /// <summary>Judges the monthly feedings after it; none when no rye is expected.</summary>
    public static IEnumerable<SeasonWindow> JudgeMonthly(LawnYear year) =>
        Plan(year) is { } plan ? plan.Monthly.Select(f => f.Window(year)) : [];

    private static (Feeding First, ImmutableArray<Feeding> Monthly)? Plan(LawnYear year)
    {
        if (
            year.Lawn.Overseed is not { } kind
            || Grasses.Of(year.Lawn.Grass).Season != GrassSeason.Warm
            || Grasses.Of(kind) is not { Germination: { } days } rye
            || Up(year, days) is not { } up
        )
        {
            return null;
        }

        var need = rye.WinterOverseedNitrogen ?? rye.Nitrogen;
        var season = SeasonOf(year);
        var first = new Feeding
        {
            Kind = WindowKind.FirstRyeFeeding,
            Season = season.Year,
            Grass = kind,
            Name = Phrase.Of($"First feeding of the {rye.Name}"),
            Opens = up.Date.Plus(FirstFromDays),
            Closes = up.Date.Plus(FirstUntilDays),
            Steps =
            [
                Phrase.Of(
                    $"Once the {rye.Name} is rooted and has been mown once or twice, give its first nitrogen."
                ),
                Phrase.Of($"Write the feeding in the journal: the monthly ones count from it."),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    up.Known
                        ? Phrase.Of(
                            $"The {rye.Name} has roots enough to take up nitrogen two to five weeks after it is up."
                        )
                        : Phrase.Of(
                            $"No sowing is on record, so this is reckoned from the best sowing dates: two to five weeks after the {rye.Name} is up."
                        ),
                    up.Date.Median is { } date
                        ? Phrase.Of($"up about {date}")
                        : Phrase.Of($"not known when it is up"),
                    Phrase.Of(
                        $"{FirstFromDays} to {FirstUntilDays} days after it is up; {new Quantity(QuantityKind.AreaRate, need.SeasonMinGM2)} to {new Quantity(QuantityKind.AreaRate, need.SeasonMaxGM2)} of nitrogen over the winter"
                    ),
                    Source
                ),
            ],
        };
        return (first, Monthly(year, season, kind, first, need));
    }

    private static ImmutableArray<Feeding> Monthly(
        LawnYear year,
        Season season,
        GrassKind kind,
        Feeding first,
        NitrogenNeed need
    )
    {
        var rye = Grasses.Of(kind);
        if (first.Opens.Median is not { } opens || Stop(year, season) is not { } stop)
        {
            return [];
        }

        var fed = RecordOf.Fed(year, kind, opens, first.Closes.Median ?? year.Date)?.Date;
        var from = (fed ?? opens.PlusDays((FirstUntilDays - FirstFromDays) / 2)).PlusDays(
            EveryDays
        );
        var dates = new List<LocalDate>();
        for (var date = from; date.PlusDays(LeastOpenDays) <= stop; date = date.PlusDays(EveryDays))
        {
            dates.Add(date);
        }

        // What the winter may still take, shared among the feedings that are left.
        var had = NitrogenGiven
            .Of(year.Lawn, year.Record, year.Date, year.Outlook.Past)
            .FirstOrDefault(g => g.Grass == kind && g.From.Year == season.Year);
        var given = had is null ? 0 : had.NitrogenGM2 + (had.Untold * need.FeedingMaxGM2);
        if (fed is null && year.Date <= (first.Closes.Median ?? year.Date))
        {
            given += need.FeedingMaxGM2;
        }

        var ahead = Math.Max(1, dates.Count(d => d.PlusDays(OpenDays) >= year.Date));
        var rate = Math.Min(need.FeedingMaxGM2, (need.SeasonMaxGM2 - given) / ahead);
        return
        [
            .. dates.Select(
                (date, i) =>
                {
                    var grows = FirstDay.Of(
                        year.Outlook,
                        date,
                        date.PlusDays(EveryDays - 1),
                        (course, at) => Grows(rye, course, at)
                    );
                    var cold =
                        grows.Courses > 0
                        && !(grows.Median <= date.PlusDays(OpenDays - LeastOpenDays));
                    var enough = rate < need.FeedingMinGM2 * 0.999;
                    return new Feeding
                    {
                        Kind = WindowKind.RyeFeeding,
                        Season = season.Year,
                        Ordinal = i + 1,
                        Grass = kind,
                        Name = Phrase.Of($"Winter feeding {i + 1} of the {rye.Name}"),
                        Opens = cold || grows.Median is null ? DateSpread.On(date) : grows,
                        Closes = DateSpread.On(date.PlusDays(OpenDays)).NoLaterThan(stop),
                        CountsFrom = date.PlusDays(-7),
                        NitrogenGM2 = Math.Max(rate, need.FeedingMinGM2),
                        Withheld =
                            cold
                                ? Phrase.Of(
                                    $"Too cold to feed: the {rye.Name} hardly grows in this month."
                                )
                            : enough
                                ? Phrase.Of(
                                    $"With what it has had, the {rye.Name} has its {new Quantity(QuantityKind.AreaRate, need.SeasonMaxGM2)} of nitrogen for this winter."
                                )
                            : null,
                        Steps =
                        [
                            Phrase.Of(
                                $"Feed lightly while the {rye.Name} is growing; skip it if the lawn is green and growing enough for you."
                            ),
                        ],
                        Why = [Why(rye, grows, stop)],
                    };
                }
            ),
        ];
    }

    private static Finding Why(Grass rye, DateSpread grows, LocalDate stop) =>
        new(
            Id,
            AdviceWeight.Supports,
            Phrase.Of(
                $"About four weeks after the last one, while the {rye.Name} grows; after {stop} nitrogen would make it fight the base grass in spring."
            ),
            Told.Dates(grows),
            Phrase.Of(
                $"growth potential of {rye.Name} above {Quantity.Percent(LeastGrowth * 100)} over ten days; none in the last five weeks before the base usually turns green"
            ),
            Source
        );

    private static bool Grows(Grass rye, SiteDays course, int index)
    {
        var mean = Course.Mean(course.AirMeanC, index, MeanDays);
        return GrowthPotential.Of(rye, mean) > LeastGrowth;
    }

    // Shown until the base is green again, so the season of last fall until then.
    private static Season SeasonOf(LawnYear year)
    {
        var season = Overseed.SeasonOf(year.Date);
        var last = Overseed.SeasonOf(season.From.PlusYears(-1));
        return Stop(year, last) is { } stop && year.Date <= stop ? last : season;
    }

    private static LocalDate? Stop(LawnYear year, Season season) =>
        GreenUp.Usual(year, GreenUp.SpringOf(season.Year + 1))?.PlusDays(-StopDays);

    // When the rye is up: as seen, else from the sowing on record, else from the best dates.
    private static (DateSpread Date, bool Known)? Up(LawnYear year, Germination days)
    {
        var season = SeasonOf(year);
        if (Overseed.Sown(year, season) is { } sown)
        {
            return GerminationWatch.Up(year, sown) is { } seen
                ? (DateSpread.On(seen), true)
                : (
                    new DateSpread(
                        sown.Date.PlusDays(days.DaysMin),
                        sown.Date.PlusDays(days.DaysMax),
                        sown.Date.PlusDays(days.DaysMax + 7),
                        1,
                        0
                    ),
                    true
                );
        }

        return Overseed.Best(year, season) is { } best ? (best.Plus(days.DaysMax), false) : null;
    }
}
