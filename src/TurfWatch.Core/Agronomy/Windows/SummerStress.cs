using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Heat that a cool-season lawn suffers from.</summary>
/// <remarks>
/// Roots of cool-season grasses stop at 77 °F soil at 4 in, shoots at 90 °F (NC State / Turf Council of NC 2005). It begins
/// when the five-day mean rises above the first and is over when it falls below it again after 1 August.
/// </remarks>
internal static class SummerStress
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "summer-stress";

    private static readonly AnnualDate From = new(5, 1);
    private static readonly AnnualDate Until = new(10, 15);
    private static readonly AnnualDate EndFrom = new(8, 1);

    /// <summary>Judges it; null for a warm-season base.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        if (grass.Season != GrassSeason.Cool || grass.RootStopSoilC is not { } stop)
        {
            return null;
        }

        var season = Season.At(year.Date, From, Until);
        var opens = Marks.SoilAbove(year, season, stop.Value);
        var closes = Marks.SoilBelow(
            year,
            season with
            {
                From = EndFrom.InYear(season.Year),
            },
            stop.Value
        );
        var depth = Told.Depth(year);
        return new()
        {
            Kind = WindowKind.SummerStress,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Summer heat on {grass.Name}"),
            Standing = opens is { Median: null, Courses: > 0 }
                ? WindowStanding.Withheld
                : Standings.Of(year, opens, closes),
            Opens = opens,
            Closes = closes,
            Steps =
            [
                grass.StressHeightCm is { } height
                    ? Phrase.Of(
                        $"Raise the cut to {Quantity.HeightCm(height.Value)}: taller grass shades its roots."
                    )
                    : Phrase.Of($"Raise the cut: taller grass shades its roots."),
                Phrase.Of($"No nitrogen until the heat is over."),
                Phrase.Of(
                    $"Water deeply and seldom, early in the morning, or let it rest: {grass.Drought.Text}."
                ),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    opens is { Median: null, Courses: > 0 }
                        ? Phrase.Of(
                            $"In most years the soil at {depth} does not get above {Quantity.TemperatureC(stop.Value)} here."
                        )
                        : Phrase.Of(
                            $"The roots of {grass.Name} stop growing in soil above {Quantity.TemperatureC(stop.Value)}, its shoots above {Quantity.TemperatureC(grass.ShootStopSoilC.Value)}."
                        ),
                    Told.SoilAnd(year, opens),
                    Phrase.Of(
                        $"five-day mean of the soil at {depth} above {Quantity.TemperatureC(stop.Value)}"
                    ),
                    stop.Source
                ),
                .. Told.Basis(year),
            ],
            Basis = year.Outlook.Basis,
        };
    }
}
