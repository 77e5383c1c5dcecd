using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Pre-emergent against winter weeds; never on a lawn that is sown this fall.</summary>
/// <remarks>
/// Annual bluegrass comes up when the soil falls below 70 °F; Clemson (HGIC, "Plan winter weed control now") applies after
/// four days with highs at or below 75 °F, an extension column in Augusta, Georgia (2008) at nights of 55 to 60 °F, late
/// September to early October, and "never if you are planning to overseed". That is the overseeding window itself: either
/// the one or the other. It closes at 60 °F; judgement: what is to come up in fall is mostly up.
/// </remarks>
internal static class WinterWeedPreEmergent
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "winter-weed-pre-emergent";

    /// <summary>Opens below: 70 °F [°C].</summary>
    public const double OpensBelowC = Fahrenheit.F70;

    /// <summary>Closes below: 60 °F [°C]; judgement.</summary>
    public const double ClosesBelowC = Fahrenheit.F60;

    private const string Source =
        "annual bluegrass below 70 °F soil: Clemson HGIC; nights of 55-60 °F and never with overseeding: extension column, Augusta GA 2008; closing at 60 °F is judgement";

    private static readonly AnnualDate From = new(8, 1);
    private static readonly AnnualDate Until = new(12, 31);

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var season = Season.At(year.Date, From, Until);
        var opens = Marks.SoilBelow(year, season, OpensBelowC);
        var closes = Marks.SoilBelow(year, season, ClosesBelowC).NoLaterThan(season.Until);
        var done = RecordOf.Did(year, JournalKind.PreEmergent, season.From, season.Until);
        var withheld = done is null ? Withheld(year, season) : null;
        return new()
        {
            Kind = WindowKind.WinterWeedPreEmergent,
            Season = season.Year,
            Grass = year.Lawn.Grass,
            Name = Phrase.Of($"Pre-emergent against winter weeds"),
            Standing =
                done is not null ? WindowStanding.Done
                : withheld is null ? Standings.Of(year, opens, closes)
                : WindowStanding.Withheld,
            Opens = opens,
            Closes = closes,
            Steps = withheld is null && done is null ? PreEmergent.Steps : [],
            Why =
            [
                new(
                    Id,
                    withheld is null ? AdviceWeight.Supports : AdviceWeight.Blocks,
                    withheld
                        ?? (done is null ? null : PreEmergent.PutDown(done))
                        ?? Phrase.Of(
                            $"Annual bluegrass and other winter weeds come up as the soil at {Told.Depth(year)} falls below {Quantity.TemperatureC(OpensBelowC)}; a pre-emergent must be in the soil by then."
                        ),
                    Told.SoilAnd(year, opens),
                    Phrase.Of(
                        $"five-day mean of the soil at {Told.Depth(year)} falling through {Quantity.TemperatureC(OpensBelowC)}"
                    ),
                    Source
                ),
                .. Told.Basis(year),
            ],
            Cautions = withheld is null
                ?
                [
                    .. PreEmergent.Cautions,
                    Phrase.Of(
                        $"It stops lawn seed too: if you mean to sow this fall, sow and leave the pre-emergent out. Never both."
                    ),
                ]
                : [],
            Basis = year.Outlook.Basis,
        };
    }

    private static Phrase? Withheld(LawnYear year, Season season) =>
        year.Lawn.Overseed is { } rye
            ? Phrase.Of(
                $"You overseed with {Grasses.Of(rye).Name} this fall: a pre-emergent cannot tell its seed from a weed's. Overseed or use a pre-emergent, never both."
            )
        : RecordOf.Sown(year, season.From, season.Until, _ => true) is { } sown
            ? Phrase.Of(
                $"You sowed on {sown.Date}: a pre-emergent would stop that seed or harm the seedlings."
            )
        : null;
}
