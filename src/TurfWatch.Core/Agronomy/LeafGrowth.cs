using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>How far the leaves grew over a stretch of time.</summary>
/// <param name="Cm">Growth in height [cm], hours without data counted at the mean rate of the known ones.</param>
/// <param name="KnownShare">Share of the stretch whose growth could be computed [0–1].</param>
public readonly record struct Grown(double Cm, double KnownShare);

/// <summary>Growth of the leaves in height.</summary>
public static class LeafGrowth
{
    /// <summary>Daily short-wave radiation above which more light adds no height, cool-season [MJ/m²]; judgement, no source.</summary>
    public const double EnoughLightCoolMJ = 8;

    /// <summary>The same for warm-season grasses, which need more [MJ/m²]; judgement, no source.</summary>
    public const double EnoughLightWarmMJ = 12;

    /// <summary>
    /// Growth in height: g = g_max · GP(T) · f_water · f_light, with f_water = min(1, θ/(1 − p)) and
    /// f_light = min(1, R/R_enough).
    /// </summary>
    /// <remarks>
    /// The product form is a plain limiting-factors model. GP: Gelernter &amp; Stowell 2005. f_water:
    /// the shape of the FAO-56 stress coefficient K_s (Allen et al. 1998, eq. 84) with p of Table 22.
    /// g_max and R_enough are judgement: expect a third more or less until an owner's record corrects it.
    /// </remarks>
    /// <param name="grass">The grass.</param>
    /// <param name="meanAirC">Mean air temperature of the day [°C], −60 to 60.</param>
    /// <param name="shortwaveMJ">Short-wave radiation of the day [MJ/m²], 0 to 45; NaN counts as enough.</param>
    /// <param name="availableWater">Plant-available water left in the root zone [0–1]; NaN counts as enough.</param>
    /// <returns>[cm/day], NaN when the temperature is NaN.</returns>
    public static double RateCmPerDay(
        Grass grass,
        double meanAirC,
        double shortwaveMJ,
        double availableWater
    )
    {
        var enoughLight = grass.Season == GrassSeason.Warm ? EnoughLightWarmMJ : EnoughLightCoolMJ;
        var light = double.IsNaN(shortwaveMJ) ? 1 : Math.Clamp(shortwaveMJ / enoughLight, 0, 1);
        return grass.MaxLeafGrowthCmPerDay.Value
            * GrowthPotential.Of(grass, meanAirC)
            * WaterFactor(grass, availableWater)
            * light;
    }

    /// <summary>
    /// Share of unstressed growth that the soil water allows: 1 down to p of the water used, then falling
    /// to 0 (shape of FAO-56 eq. 84, K_s).
    /// </summary>
    /// <param name="grass">The grass.</param>
    /// <param name="availableWater">Plant-available water left in the root zone [0–1]; NaN counts as enough.</param>
    public static double WaterFactor(Grass grass, double availableWater) =>
        double.IsNaN(availableWater)
            ? 1
            : Math.Clamp(availableWater / (1 - grass.WaterStressDepletion.Value), 0, 1);

    /// <summary>Growth from noon of one day to noon of another, from the days of <paramref name="days"/>.</summary>
    /// <param name="days">The days.</param>
    /// <param name="grass">The grass.</param>
    /// <param name="shade">Shade of the lawn.</param>
    /// <param name="from">First day.</param>
    /// <param name="to">Last day.</param>
    /// <param name="nitrogen">Factor of the nitrogen given, on a day; null means 1.</param>
    public static Grown Between(
        SiteDays days,
        Grass grass,
        Shade shade,
        LocalDate from,
        LocalDate to,
        Func<LocalDate, double>? nitrogen = null
    )
    {
        double sum = 0,
            known = 0;
        var length = Period.DaysBetween(from, to);
        if (length <= 0)
        {
            return new(0, 1);
        }

        for (var day = from; day <= to; day = day.PlusDays(1))
        {
            var part = day == from || day == to ? 0.5 : 1;
            var rate = RateOn(days, grass, shade, days.IndexOf(day));
            if (!double.IsNaN(rate))
            {
                sum += part * rate * (nitrogen?.Invoke(day) ?? 1);
                known += part;
            }
        }

        return known == 0 ? new(double.NaN, 0) : new(sum / known * length, known / length);
    }

    /// <summary>
    /// Rate of growth on one day [cm/day]: none with the soil at 10 cm above the temperature at which the shoots stop;
    /// NaN when the day is not known.
    /// </summary>
    public static double RateOn(SiteDays days, Grass grass, Shade shade, int index) =>
        index < 0 || index >= days.Count ? double.NaN
        : days.Soil10CmC[index] > grass.ShootStopSoilC.Value ? 0
        : RateCmPerDay(
            grass,
            days.AirMeanC[index],
            days.ShortwaveMJM2[index] * LightShare(shade),
            days.AvailableWater[index]
        );

    /// <summary>Share of the open sky's light that reaches the lawn; judgement, as in the physics.</summary>
    public static double LightShare(Shade shade) =>
        shade switch
        {
            Shade.Sun => 1,
            Shade.Partial => 0.6,
            _ => 0.25,
        };
}
