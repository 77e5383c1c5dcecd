using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Agronomy;

/// <summary>The water that the roots of a lawn can reach, and how a day changes it (FAO-56, chapter 8).</summary>
/// <param name="TotalMm">Total available water, TAW: between field capacity and wilting point [mm].</param>
/// <param name="EasyShare">Share of it that can be used without stress, p, at 5 mm a day [0.1–0.8].</param>
public readonly record struct RootZone(double TotalMm, double EasyShare)
{
    /// <summary>Depth of a lawn's roots [m]; as in the physics of the site, judgement: FAO-56's 0.5 to 1 m is for grass left alone.</summary>
    public const double DepthM = 0.2;

    /// <summary>Rain below this share of the reference evapotranspiration evaporates the same day (FAO-56, ch. 8).</summary>
    public const double SmallRain = 0.2;

    /// <summary>The root zone of a lawn.</summary>
    /// <param name="soil">Its soil.</param>
    /// <param name="grass">The grass that drinks.</param>
    /// <param name="depthM">Depth of the roots [m], above 0 to 2.</param>
    public static RootZone Of(SoilTexture soil, Grass grass, double depthM = DepthM)
    {
        var hydraulics = SoilHydraulics.Of(soil);
        return new(
            TotalAvailableMm(hydraulics.FieldCapacity, hydraulics.WiltingPoint, depthM),
            grass.WaterStressDepletion.Value
        );
    }

    /// <summary>TAW = 1000 (θ_FC − θ_WP) Z_r (FAO-56 eq. 82).</summary>
    /// <param name="fieldCapacity">θ_FC [m³/m³], above the wilting point.</param>
    /// <param name="wiltingPoint">θ_WP [m³/m³], 0 or more.</param>
    /// <param name="depthM">Z_r [m], above 0 to 2.</param>
    public static double TotalAvailableMm(double fieldCapacity, double wiltingPoint, double depthM)
    {
        if (!(fieldCapacity > wiltingPoint && wiltingPoint >= 0 && fieldCapacity < 1))
        {
            throw new ArgumentOutOfRangeException(
                nameof(fieldCapacity),
                fieldCapacity,
                "field capacity lies above the wilting point and below 1; give volume fractions"
            );
        }

        if (depthM is not (> 0 and <= 2))
        {
            throw new ArgumentOutOfRangeException(
                nameof(depthM),
                depthM,
                "roots of turf reach above 0 and at most 2 m deep; give metres"
            );
        }

        return 1000 * (fieldCapacity - wiltingPoint) * depthM;
    }

    /// <summary>p adjusted for the demand: p + 0.04 (5 − ET_c), kept within 0.1 and 0.8 (FAO-56, note to Table 22).</summary>
    /// <param name="demandMm">ET_c without stress [mm/day], 0 or more.</param>
    public double EasyShareAt(double demandMm) =>
        Math.Clamp(EasyShare + (0.04 * (5 - demandMm)), 0.1, 0.8);

    /// <summary>RAW = p TAW: what can be used before the grass is short [mm] (FAO-56 eq. 83).</summary>
    /// <param name="demandMm">ET_c without stress [mm/day].</param>
    public double EasyMm(double demandMm) => EasyShareAt(demandMm) * TotalMm;

    /// <summary>What the grass uses of its demand with a deficit: K_s ET_c [mm] (FAO-56 eq. 84).</summary>
    /// <param name="deficitMm">Water missing from field capacity, D_r, at the start of the day [mm].</param>
    /// <param name="demandMm">ET_c without stress [mm/day].</param>
    public double UseMm(double deficitMm, double demandMm) =>
        demandMm
        * SoilWater.StressCoefficient(
            Math.Clamp(1 - (deficitMm / TotalMm), 0, 1),
            EasyShareAt(demandMm)
        );

    /// <summary>
    /// D_r at the end of a day: D_r − P − I + K_s ET_c, kept between 0 (the rest drains) and TAW (FAO-56 eq. 85, without
    /// run-off and capillary rise). Rain below a fifth of ET_0 is left out.
    /// </summary>
    /// <param name="deficitMm">D_r at the start of the day [mm].</param>
    /// <param name="rainMm">P [mm].</param>
    /// <param name="wateringMm">I [mm].</param>
    /// <param name="et0Mm">Reference evapotranspiration of the day [mm].</param>
    /// <param name="demandMm">ET_c without stress [mm].</param>
    /// <returns>[mm]; NaN for NaN.</returns>
    public double Step(
        double deficitMm,
        double rainMm,
        double wateringMm,
        double et0Mm,
        double demandMm
    )
    {
        var rain = rainMm < SmallRain * et0Mm ? 0 : rainMm;
        var end = deficitMm - rain - wateringMm + UseMm(deficitMm, demandMm);
        return double.IsNaN(end) ? double.NaN : Math.Clamp(end, 0, TotalMm);
    }
}
