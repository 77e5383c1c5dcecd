using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The low first cut of a warm-season lawn, only once it has turned green.</summary>
/// <remarks>
/// W. Reeves (formerly University of Georgia extension): at the first hint of green; Texas AgriLife, Somervell County
/// (Blanek): once a late freeze is no longer likely. So it opens with green-up, and a caution names the last freeze. Three
/// weeks after green-up is well under way it is over: from then on a low cut takes leaves that feed the plant (judgement).
/// </remarks>
internal static class SpringScalp
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "spring-scalp";

    /// <summary>Days after green-up is well under way at which it closes; judgement.</summary>
    public const int DaysAfterUnderWay = 21;

    /// <summary>Judges it; null for grasses without a figure for it, unless a source forbids it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        var creeping = grass.Kind is GrassKind.StAugustine or GrassKind.Centipede;
        if ((grass.SpringScalpCm is null && !creeping) || !GreenUp.Rests(year))
        {
            return null;
        }

        var season = GreenUp.SeasonOf(year.Date);
        var opens = GreenUp.Begins(year, season);
        var closes = GreenUp.UnderWay(year, season).Plus(DaysAfterUnderWay);
        var withheld =
            creeping
                ? Phrase.Of(
                    $"Not on {grass.Name}: its runners lie on the ground, and a low cut takes them off."
                )
            : year.Lawn.Overseed is null ? null
            : Phrase.Of(
                $"Winter rye stands in the {grass.Name}: lower the cut in steps through the spring transition instead."
            );
        return new()
        {
            Kind = WindowKind.SpringScalp,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Low first cut of the {grass.Name}"),
            Standing = withheld is null
                ? Standings.Of(year, opens, closes)
                : WindowStanding.Withheld,
            Opens = opens,
            Closes = closes,
            Steps = withheld is not null
                ? []
                :
                [
                    Phrase.Of(
                        $"Once the first green shows, cut to {Quantity.HeightCm(grass.SpringScalpCm!.Value)} and take off the brown: the soil warms sooner."
                    ),
                    Phrase.Of(
                        $"Not before it is green: bare crowns freeze. Then go back to the usual height."
                    ),
                ],
            Why =
            [
                new(
                    Id,
                    withheld is null ? AdviceWeight.Supports : AdviceWeight.Blocks,
                    withheld
                        ?? Phrase.Of(
                            $"The dead leaves shade the soil; taken off as the {grass.Name} turns green, it greens up sooner. One source says at the first hint of green, another not before late freezes are unlikely."
                        ),
                    Told.SoilAnd(year, opens),
                    Phrase.Of(
                        $"green-up begun: soil at {Told.Depth(year)} above {Quantity.TemperatureC(grass.GreenUpSoilC.Value)}"
                    ),
                    grass.SpringScalpCm?.Source ?? "common practice, no source"
                ),
                .. Told.Basis(year),
            ],
            Cautions = withheld is null ? Cautions(year, season) : [],
            Basis = year.Outlook.Basis,
        };
    }

    private static ImmutableArray<Phrase> Cautions(LawnYear year, Season season)
    {
        var mower = Phrase.Of(
            $"A low cut throws stones and soil: clear the lawn, wear eye protection, keep children and pets away."
        );
        return
            year.Weather.Climate is { } climate
            && UsualFreeze.Last(climate).Late is { } late
            && late.In(season.Year - 1) >= year.Date
            ?
            [
                Phrase.Of(
                    $"Nine in ten of the past winters here had their last freeze by {late.In(season.Year - 1)}: a freeze after the low cut sets the grass back."
                ),
                mower,
            ]
            : [mower];
    }
}
