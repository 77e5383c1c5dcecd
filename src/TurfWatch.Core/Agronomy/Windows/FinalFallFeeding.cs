using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The last feeding of a warm-season lawn before it goes dormant.</summary>
/// <remarks>
/// The sources disagree, and the window says so. University of Florida (Dunning 2018): no nitrogen later than eight weeks
/// before the average first frost. A Missouri extension column (2009): low nitrogen and high potassium four to six weeks
/// before it; late nitrogen alone does not add to winterkill, with vertical mowing or aeration it does. Clemson (2019): none
/// after 1 September; University of Georgia (2022): last in August; LSU (Koske): in September only with more potassium than
/// nitrogen, or potash alone, "if in doubt do nothing". Late nitrogen also feeds large patch and spring dead spot (Georgia,
/// Clemson). So: open from ten weeks before the usual first freeze, best until eight weeks before it, and after that
/// without nitrogen until four weeks before the usual dormancy; never in soil falling below 60 °F (judgement). On an
/// overseeded lawn it ends two weeks before the rye is usually sown.
/// </remarks>
internal static class FinalFallFeeding
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "final-fall-feeding";

    /// <summary>Days before the usual first freeze at which it opens; judgement: two weeks to do it in.</summary>
    public const int OpensDaysBeforeFreeze = 70;

    /// <summary>Days before the usual first freeze after which no nitrogen is given: 8 weeks (University of Florida).</summary>
    public const int LastNitrogenDaysBeforeFreeze = 56;

    /// <summary>Days before the usual dormancy at which it closes: 4 weeks (Missouri column, the late end).</summary>
    public const int ClosesDaysBeforeDormancy = 28;

    /// <summary>On an overseeded lawn it closes these days before the rye is usually sown; common practice, no source: nitrogen would feed the base against the rye.</summary>
    public const int DaysBeforeSowing = 14;

    /// <summary>It is open for at least these days; judgement.</summary>
    public const int LeastDays = 21;

    /// <summary>Five-day mean of the soil below which nothing is given any more: 60 °F [°C]; judgement.</summary>
    public const double ColdSoilC = Fahrenheit.F60;

    private const string Source =
        "against late nitrogen: University of Florida (8 weeks before the first frost), Clemson (none after September 1), University of Georgia (last in August); for a late one low in nitrogen and high in potassium: Missouri extension column 2009 (4-6 weeks before); LSU (Koske): more potassium than nitrogen, if in doubt nothing";

    private static readonly AnnualDate From = new(7, 1);
    private static readonly AnnualDate Until = new(12, 31);

    /// <summary>The fall of a date, or the next.</summary>
    public static Season SeasonOf(LocalDate date) => Season.At(date, From, Until);

    /// <summary>When it opens, which ends the summer feedings; null where the lawn does not usually rest.</summary>
    public static LocalDate? Opens(LawnYear year, Season season)
    {
        if (
            Anchor(year, season) is not { } freeze
            || Dormancy.Usual(year, Dormancy.SeasonOf(season.From)) is not { } rest
        )
        {
            return null;
        }

        var opens = freeze.PlusDays(-OpensDaysBeforeFreeze);
        var latest = Last(year, season, rest).PlusDays(-LeastDays);
        return LocalDate.Max(season.From, LocalDate.Min(opens, latest));
    }

    /// <summary>Judges it; null for a cool-season base, and where the base does not usually rest.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        var season = SeasonOf(year.Date);
        if (
            grass.Season != GrassSeason.Warm
            || Anchor(year, season) is not { } freeze
            || Dormancy.Usual(year, Dormancy.SeasonOf(season.From)) is not { } rest
        )
        {
            return null;
        }

        var opens = Opens(year, season) ?? season.From;
        var last = LocalDate.Max(opens, Last(year, season, rest));
        var lastNitrogen = LocalDate.Min(freeze.PlusDays(-LastNitrogenDaysBeforeFreeze), last);
        var closes = FirstDay.Of(
            year.Outlook,
            opens,
            season.Until,
            (course, i) => course.Date(i) >= last || FirstDay.SoilMeanC(course, i, 5) < ColdSoilC
        );
        var late = year.Date > lastNitrogen;
        return new Feeding
        {
            Kind = WindowKind.FinalFallFeeding,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Last fall feeding of the {grass.Name}"),
            Opens = DateSpread.On(opens),
            Best = Spreads.Between(opens, lastNitrogen),
            SoonFrom = lastNitrogen.PlusDays(-Standings.SoonDays),
            Closes = closes,
            NitrogenGM2 = late ? 0 : null,
            WithoutNitrogen = PotashAlone(year),
            Steps = Steps(grass, lastNitrogen, late),
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    Phrase.Of(
                        $"The {grass.Name} stores for winter now: little nitrogen and as much potash or more, and no nitrogen after {lastNitrogen}."
                    ),
                    Phrase.Of($"usual first freeze {freeze}, usual dormancy about {rest}"),
                    Phrase.Of(
                        year.Lawn.Overseed is null
                            ? (FormattableString)
                                $"nitrogen until 8 weeks before the usual first freeze, anything until 4 weeks before dormancy, nothing in soil below {Quantity.TemperatureC(ColdSoilC)}"
                            : $"nitrogen until 8 weeks before the usual first freeze, and until 2 weeks before the rye is usually sown; nothing in soil below {Quantity.TemperatureC(ColdSoilC)}"
                    ),
                    Source
                ),
                new(
                    Id,
                    AdviceWeight.Informs,
                    Phrase.Of(
                        $"The sources disagree. Florida stops nitrogen 8 weeks before the first frost, Clemson on September 1, Georgia in August; a Missouri text feeds low nitrogen and high potassium 4 to 6 weeks before, which here would be {freeze.PlusDays(-42)} to {freeze.PlusDays(-28)}. We take the careful side; in doubt, skip it."
                    ),
                    Phrase.Of(
                        $"8 weeks before the usual first freeze is {freeze.PlusDays(-LastNitrogenDaysBeforeFreeze)}"
                    ),
                    Phrase.Of($"sources for and against"),
                    Source
                ),
            ],
            Cautions =
            [
                Phrase.Of(
                    $"Much nitrogen now invites large patch and spring dead spot; do not combine it with aeration or dethatching this late."
                ),
            ],
        }.Window(year);
    }

    // The usual first freeze, or where most winters have none the usual dormancy.
    private static LocalDate? Anchor(LawnYear year, Season season) =>
        Marks.UsualFreeze(year, season.Year)
        ?? Dormancy.Usual(year, Dormancy.SeasonOf(season.From));

    // On a lawn that is overseeded the base has had its last well before the rye is usually sown.
    private static LocalDate Last(LawnYear year, Season season, LocalDate rest)
    {
        var last = rest.PlusDays(-ClosesDaysBeforeDormancy);
        var sowing = year.Lawn.Overseed is null
            ? null
            : Marks
                .UsuallyBelow(year, Overseed.SeasonOf(season.From), Overseed.BestBelowC)
                ?.PlusDays(-DaysBeforeSowing);
        return sowing < last ? sowing.Value : last;
    }

    private static ImmutableArray<Phrase> Steps(Grass grass, LocalDate lastNitrogen, bool late) =>
        late
            ?
            [
                Phrase.Of(
                    $"It is past {lastNitrogen}: no more nitrogen for the {grass.Name} this year."
                ),
                Phrase.Of(
                    $"Potash alone is still of use where a soil test shows it low. In doubt, do nothing."
                ),
            ]
            :
            [
                Phrase.Of(
                    $"Give half a usual feeding of nitrogen with at least as much potash, by {lastNitrogen}."
                ),
                Phrase.Of(
                    $"A soil test says whether potash is wanted; where it is high, skip this feeding."
                ),
            ];

    private static ImmutableArray<Phrase> PotashAlone(LawnYear year)
    {
        var (least, most) = (
            Customary.PoundPerThousandSquareFeet,
            2 * Customary.PoundPerThousandSquareFeet
        );
        return year.Lawn.AreaM2 is { } area
            ?
            [
                Phrase.Of(
                    $"Only if the soil test asks for potash: {new Quantity(QuantityKind.Mass, least * area / 1000)} to {new Quantity(QuantityKind.Mass, most * area / 1000)} of 0-0-60 on your {new Quantity(QuantityKind.Area, area)} (LSU: 1 to 2 lb on 1,000 sq ft)."
                ),
            ]
            :
            [
                Phrase.Of(
                    $"Only if the soil test asks for potash: {new Quantity(QuantityKind.AreaRate, least)} to {new Quantity(QuantityKind.AreaRate, most)} of 0-0-60 (LSU)."
                ),
            ];
    }
}
