using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Feeding a warm-season lawn while it grows: the season's nitrogen in equal parts.</summary>
/// <remarks>
/// The nitrogen of a season and of a feeding is the grass's (<c>grasses.json</c>). The first opens when green-up is well
/// under way (65 °F soil, not before 1 March); on an overseeded lawn when nights are in the mid-60s °F (NC State, G. Miller 2022: raise nitrogen
/// to the bermudagrass only as it grows). The others follow evenly, at least four weeks apart, until the last fall feeding
/// opens. The count is the middle of the season's range over one feeding; spacing them evenly is common practice.
/// </remarks>
internal static class SummerFeeding
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "summer-feeding";

    /// <summary>Fewest days from one to the next; common practice, no source.</summary>
    public const int LeastDaysBetween = 28;

    /// <summary>Days for which one stays open; judgement.</summary>
    public const int OpenDays = 21;

    private static readonly AnnualDate From = new(2, 1);
    private static readonly AnnualDate Until = new(10, 31);

    /// <summary>Judges them; none for a cool-season base.</summary>
    public static IEnumerable<SeasonWindow> Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Warm)
        {
            yield break;
        }

        var season = Season.At(year.Date, From, Until);
        var first = year.Lawn.Overseed is null
            ? GreenUp.UnderWay(year, GreenUp.SpringOf(season.Year))
            : SpringTransition.BaseGrows(year, SpringTransition.SeasonOf(season.From));
        first = first.NoEarlierThan(new LocalDate(season.Year, 3, 1));
        var end =
            FinalFallFeeding.Opens(year, FinalFallFeeding.SeasonOf(new(season.Year, 7, 1)))
            ?? season.Until;
        var need = grass.Nitrogen;
        var count = Math.Max(
            1,
            (int)Math.Round((need.SeasonMinGM2 + need.SeasonMaxGM2) / 2 / need.FeedingMaxGM2)
        );
        var days = first.Median is { } median
            ? Math.Max(LeastDaysBetween, Period.DaysBetween(median, end) / count)
            : LeastDaysBetween;
        for (var i = 0; i < count; i++)
        {
            var opens = first.Plus(i * days);
            if (opens.Median > end.PlusDays(-OpenDays) || (i > 0 && opens.Median is null))
            {
                yield break;
            }

            yield return Of(year, season, grass, i, count, opens, end).Window(year);
        }
    }

    private static Feeding Of(
        LawnYear year,
        Season season,
        Grass grass,
        int index,
        int count,
        DateSpread opens,
        LocalDate end
    )
    {
        var need = grass.Nitrogen;
        return new()
        {
            Kind = WindowKind.SummerFeeding,
            Season = season.Year,
            Ordinal = count == 1 ? 0 : index + 1,
            Grass = grass.Kind,
            Name =
                count == 1
                    ? Phrase.Of($"Summer feeding of the {grass.Name}")
                    : Phrase.Of($"Summer feeding {index + 1} of the {grass.Name}"),
            Opens = opens,
            Closes = opens.Plus(OpenDays).NoLaterThan(end),
            CountsFrom = opens.Median?.PlusDays(-7),
            Steps =
            [
                Phrase.Of(
                    $"Feed the {grass.Name} while it grows and has water; skip it in drought or if the lawn is dense and green enough for you."
                ),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    Phrase.Of(
                        $"A season's nitrogen, {new Quantity(QuantityKind.AreaRate, need.SeasonMinGM2)} to {new Quantity(QuantityKind.AreaRate, need.SeasonMaxGM2)}, goes in parts, from when the {grass.Name} grows until ten weeks before the usual first freeze."
                    ),
                    Told.Dates(opens),
                    year.Lawn.Overseed is null
                        ? Phrase.Of(
                            $"soil at {Told.Depth(year)} above {Quantity.TemperatureC(GreenUp.UnderWayC)}; at most {new Quantity(QuantityKind.AreaRate, need.FeedingMaxGM2)} at once"
                        )
                        : Phrase.Of(
                            $"nights near {Quantity.TemperatureC(SpringTransition.BaseGrowsC)} over ten days, so that the base and not the rye takes it; at most {new Quantity(QuantityKind.AreaRate, need.FeedingMaxGM2)} at once"
                        ),
                    need.Source + "; even spacing is common practice, no source"
                ),
            ],
        };
    }
}
