using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The base grass goes to rest.</summary>
/// <remarks>
/// A warm-season grass: the five-day mean of the soil at 10 cm falls below 50 °F (NC State / Turf Council of NC 2005:
/// dormancy starts, chill discolours), or before that the nights do it (University of Arizona turfgrass guide: several
/// nights of frost, or nights well below 32 °F). We read "several" as three nights at or below 32 °F and "well below" as
/// two at or below 28 °F within ten days; that reading is judgement. A cool-season grass: soil below 40 °F, shoots cease.
/// </remarks>
internal static class Dormancy
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "dormancy";

    /// <summary>Nights of freeze within <see cref="Nights"/> that send a warm-season grass to rest; judgement.</summary>
    public const int FreezingNights = 3;

    /// <summary>Nights of hard freeze within <see cref="Nights"/> that do; judgement.</summary>
    public const int HardNights = 2;

    /// <summary>Nights looked at together; judgement.</summary>
    public const int Nights = 10;

    /// <summary>Hard freeze: 28 °F [°C] (NWS Jackson).</summary>
    public const double HardFreezeC = -2.2;

    /// <summary>Days after the usual first freeze by which the nights have usually done it; judgement, for planning back from.</summary>
    public const int DaysAfterFreeze = 10;

    private static readonly AnnualDate From = new(9, 1);
    private static readonly AnnualDate Until = new(3, 31);

    /// <summary>The cold season of a date.</summary>
    public static Season SeasonOf(LocalDate date) => Season.At(date, From, Until);

    /// <summary>When it comes.</summary>
    public static DateSpread Comes(LawnYear year, Season season)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        var soil = Marks.SoilBelow(year, season, grass.DormancySoilC.Value);
        if (grass.Season == GrassSeason.Cool)
        {
            return soil;
        }

        var nights = FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) =>
                FirstDay.SoilMeanC(course, i, 5) < grass.DormancySoilC.Value || ByNights(course, i)
        );
        // The soil's dates know of the model's own error, the nights' do not: the wider of both where the soil decides.
        return nights.Median is not { } byNights || soil.Median is not { } bySoil ? nights
            : bySoil <= byNights ? soil
            : nights;
    }

    /// <summary>The usual date, from past years alone, to plan back from; null when the grass does not usually rest.</summary>
    public static LocalDate? Usual(LawnYear year, Season season)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        var soil = Marks.UsuallyBelow(year, season, grass.DormancySoilC.Value);
        var nights =
            grass.Season == GrassSeason.Warm
                ? Marks.UsualFreeze(year, season.Year)?.PlusDays(DaysAfterFreeze)
                : null;
        return (soil, nights) switch
        {
            ({ } a, { } b) => LocalDate.Min(a, b),
            _ => soil ?? nights,
        };
    }

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var season = SeasonOf(year.Date);
        var grass = Grasses.Of(year.Lawn.Grass);
        var comes = Comes(year, season);
        var warm = grass.Season == GrassSeason.Warm;
        var standing = Standings.OfEvent(year, comes);
        return new()
        {
            Kind = WindowKind.Dormancy,
            Season = season.Year,
            Grass = grass.Kind,
            Name = warm
                ? Phrase.Of($"The {grass.Name} goes dormant")
                : Phrase.Of($"The {grass.Name} stops growing for winter"),
            Standing = standing,
            Opens = comes,
            Steps = warm
                ?
                [
                    Phrase.Of($"No nitrogen for the {grass.Name} until it is green again."),
                    Phrase.Of(
                        $"Brown is not dead: water now and then in a dry winter, and keep traffic light."
                    ),
                ]
                :
                [
                    Phrase.Of($"No more feeding once the grass is no longer green."),
                    Phrase.Of($"Keep leaves off it and stay off it while it is frozen."),
                ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Informs,
                    standing == WindowStanding.Withheld
                            ? Phrase.Of($"In most years the {grass.Name} does not go to rest here.")
                        : warm
                            ? Phrase.Of(
                                $"The {grass.Name} loses its colour when the soil at {Told.Depth(year)} is below {Quantity.TemperatureC(grass.DormancySoilC.Value)}, or after several freezing nights."
                            )
                        : Phrase.Of(
                            $"The shoots of {grass.Name} cease when the soil at {Told.Depth(year)} is below {Quantity.TemperatureC(grass.DormancySoilC.Value)}."
                        ),
                    Told.SoilAnd(year, comes),
                    warm
                        ? Phrase.Of(
                            $"five-day mean of the soil at {Told.Depth(year)} below {Quantity.TemperatureC(grass.DormancySoilC.Value)}, or in ten days {FreezingNights} nights at {Quantity.TemperatureC(0)} or {HardNights} at {Quantity.TemperatureC(HardFreezeC)}"
                        )
                        : Phrase.Of(
                            $"five-day mean of the soil at {Told.Depth(year)} below {Quantity.TemperatureC(grass.DormancySoilC.Value)}"
                        ),
                    warm
                        ? grass.DormancySoilC.Source
                            + "; several nights of frost or nights well below 32 °F: University of Arizona turfgrass guide; the count of nights is judgement"
                        : grass.DormancySoilC.Source
                ),
                .. Told.Basis(year),
            ],
            Basis = year.Outlook.Basis,
        };
    }

    private static bool ByNights(SiteDays course, int index) =>
        Course.NightsAtOrBelow(course, index, Nights, FirstFreeze.FreezeC) >= FreezingNights
        || Course.NightsAtOrBelow(course, index, Nights, HardFreezeC) >= HardNights;
}
