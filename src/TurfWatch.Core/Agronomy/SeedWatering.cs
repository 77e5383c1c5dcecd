using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>How new seed is watered until it is up.</summary>
/// <param name="Sown">The day of sowing.</param>
/// <param name="FirstUp">The first day on which it may show.</param>
/// <param name="AllUp">The day by which it should.</param>
/// <param name="TimesADay">Light waterings a day.</param>
/// <param name="EachMm">Depth of each [mm].</param>
/// <remarks>
/// Wet bare soil loses up to 1.15 times the reference evapotranspiration (FAO-56, Allen et al. 1998, initial Kc);
/// that is given back in goes small enough to stay in the top half inch. The size of a go and two to four a day:
/// common practice, no source.
/// </remarks>
public sealed record SeedWatering(
    LocalDate Sown,
    LocalDate FirstUp,
    LocalDate AllUp,
    int TimesADay,
    double EachMm
)
{
    /// <summary>Depth of one light watering [mm]: a tenth of an inch.</summary>
    public const double LightMm = 2.54;

    /// <summary>Depth of the daily watering once the seed is up [mm]: a fifth of an inch; common practice, no source.</summary>
    public const double SeedlingMm = 5.08;

    /// <summary>Days from coming up to the first mowing or so, over which watering goes over to deep and seldom.</summary>
    public const int SeedlingDays = 14;

    /// <summary>The watering in a sentence, for where the day's plan is not told.</summary>
    public static readonly Phrase InShort = Phrase.Of(
        $"Keep the top of the soil damp with short waterings several times a day until the seed is up, then water deeper and less often."
    );

    private const double WetBareSoil = 1.15;

    /// <summary>The plan.</summary>
    /// <param name="grass">A grass that is sown.</param>
    /// <param name="sown">The day of sowing.</param>
    /// <param name="et0Mm">Reference evapotranspiration of a day [mm]; NaN counts as 4.</param>
    public static SeedWatering Of(Grass grass, LocalDate sown, double et0Mm)
    {
        if (grass.Germination is not { } up)
        {
            throw new ArgumentOutOfRangeException(
                nameof(grass),
                grass.Kind,
                "this grass is planted, not sown; give one with a germination in grasses.json"
            );
        }

        var loss = WetBareSoil * (double.IsNaN(et0Mm) ? 4 : et0Mm);
        return new(
            sown,
            sown.PlusDays(up.DaysMin),
            sown.PlusDays(up.DaysMax),
            Math.Clamp((int)Math.Ceiling(loss / LightMm), 2, 4),
            LightMm
        );
    }

    /// <summary>The plan in sentences.</summary>
    public ImmutableArray<Phrase> Steps =>
        [
            Phrase.Of(
                $"Until it is up, between {FirstUp} and {AllUp}: {TimesADay} light waterings a day of {Quantity.WaterMm(EachMm)} each, spread over the day; the top half inch must not dry, and nothing should run or puddle."
            ),
            Phrase.Of(
                $"Once it is up: once a day {Quantity.WaterMm(SeedlingMm)}, in the morning, for about {SeedlingDays} days; then deeper and less often."
            ),
            Phrase.Of($"Leave out what rain has done, and nights that freeze."),
        ];
}
