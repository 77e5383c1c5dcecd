namespace TurfWatch.Core.Agronomy;

/// <summary>How long a sprinkler runs for a depth of water, in how many goes.</summary>
/// <param name="Minutes">Running time in all [min].</param>
/// <param name="Cycles">Goes, so that no more stands on the ground than grass holds back.</param>
/// <param name="MinutesEach">Running time of each go [min].</param>
/// <param name="SoakMinutes">Pause after each go for the water to sink in [min]; 0 with one go.</param>
public sealed record SprinklerRun(
    double Minutes,
    int Cycles,
    double MinutesEach,
    double SoakMinutes
);

/// <summary>How much water an area takes.</summary>
public static class WaterAmount
{
    /// <summary>Litres in a US gallon.</summary>
    public const double LitresPerGallon = 3.785411784;

    /// <summary>Water that may stand in level grass before it runs off [mm]: a tenth of an inch; judgement, no source.</summary>
    public const double StandingMm = 2.54;

    /// <summary>Volume of a depth over an area: 1 mm on 1 m² is 1 litre [l].</summary>
    /// <param name="depthMm">Depth [mm], above 0 to 200.</param>
    /// <param name="areaM2">Area [m²], above 0.</param>
    public static double Litres(double depthMm, double areaM2)
    {
        CheckDepth(depthMm);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(areaM2);
        return depthMm * areaM2;
    }

    /// <summary>Rate at which a level soil takes water in [mm/h].</summary>
    /// <remarks>
    /// The Lawn Institute, "Soil types make a difference in lawn irrigation": 2.0, 1.0, 0.5, 0.3 and
    /// 0.2 in/h. In the copy seen three rows had lost their names; by their order they are read as sand,
    /// loam and clay. Slopes, thatch and packed ground take in less.
    /// </remarks>
    public static double IntakeMmH(SoilTexture soil) =>
        25.4
        * soil switch
        {
            SoilTexture.Sand => 2.0,
            SoilTexture.SandyLoam => 1.0,
            SoilTexture.Loam => 0.5,
            SoilTexture.ClayLoam => 0.3,
            SoilTexture.Clay => 0.2,
            _ => throw new ArgumentOutOfRangeException(nameof(soil), soil, "use a named texture"),
        };

    /// <summary>
    /// Running time, cut into goes when the sprinkler gives faster than the soil takes: each go ends
    /// before (rate − intake) · t exceeds <see cref="StandingMm"/>, each pause lets that sink in.
    /// </summary>
    /// <remarks>A water balance of the surface with a constant intake; the textures' intake varies tenfold in the field.</remarks>
    /// <param name="depthMm">Depth wanted [mm], above 0 to 200.</param>
    /// <param name="sprinklerMmH">What the sprinkler gives, measured with cans [mm/h], 1 to 200.</param>
    /// <param name="soil">Soil texture.</param>
    public static SprinklerRun Run(double depthMm, double sprinklerMmH, SoilTexture soil)
    {
        CheckDepth(depthMm);
        if (sprinklerMmH is not (>= 1 and <= 200))
        {
            throw new ArgumentOutOfRangeException(
                nameof(sprinklerMmH),
                sprinklerMmH,
                "a sprinkler gives between 1 and 200 mm/h (0.04 and 8 in/h); measure it with cans"
            );
        }

        var minutes = depthMm / sprinklerMmH * 60;
        var intake = IntakeMmH(soil);
        var excess = sprinklerMmH - intake;
        if (excess * minutes / 60 <= StandingMm)
        {
            return new(minutes, 1, minutes, 0);
        }

        var cycles = (int)Math.Ceiling((excess * minutes / 60 / StandingMm) - 1e-9);
        var each = minutes / cycles;
        return new(minutes, cycles, each, excess * each / intake);
    }

    private static void CheckDepth(double depthMm)
    {
        if (depthMm is not (> 0 and <= 200))
        {
            throw new ArgumentOutOfRangeException(
                nameof(depthMm),
                depthMm,
                "a watering lies above 0 and at most at 200 mm (8 in)"
            );
        }
    }
}
