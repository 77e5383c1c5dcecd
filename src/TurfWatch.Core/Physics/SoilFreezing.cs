namespace TurfWatch.Core.Physics;

/// <summary>
/// Freezing and thawing of soil water: after a step, a layer below 0 °C freezes water until the heat freed has
/// brought it to 0 °C or the water is used up, and the other way round. Heat content is kept to rounding.
/// </summary>
internal static class SoilFreezing
{
    /// <summary>Heat of fusion [J/kg].</summary>
    public const double LatentJPerKg = 3.337e5;

    /// <summary>Share of soil water that freezes near 0 °C; the rest is held by fine pores (judgement, no source).</summary>
    public const double FreezableShare = 0.7;

    /// <param name="temperature">Layer temperatures [°C].</param>
    /// <param name="ice">Layer ice [mm].</param>
    /// <param name="waterContent">Water content of each layer, frozen or not [0-1].</param>
    /// <param name="heatCapacity">Volumetric heat capacity of each layer [J/m³K].</param>
    /// <returns>Whether any layer holds ice.</returns>
    public static bool Apply(
        Span<double> temperature,
        Span<double> ice,
        ReadOnlySpan<double> waterContent,
        ReadOnlySpan<double> heatCapacity
    )
    {
        var any = false;
        for (var i = 0; i < temperature.Length; i++)
        {
            var t = temperature[i];
            if (t < 0 || ice[i] > 0)
            {
                var capacity = heatCapacity[i] * SoilGrid.ThicknessM[i];
                var freezable = FreezableShare * waterContent[i] * SoilGrid.ThicknessM[i] * 1000;
                var change = Math.Clamp(
                    -t * capacity / LatentJPerKg,
                    -ice[i],
                    Math.Max(0, freezable - ice[i])
                );
                ice[i] += change;
                temperature[i] = t + (change * LatentJPerKg / capacity);
                any |= ice[i] > 0;
            }
        }

        return any;
    }
}
