namespace TurfWatch.Core.Agronomy;

/// <summary>In which part of the year a grass grows.</summary>
public enum GrassSeason
{
    /// <summary>Grows best in spring and fall.</summary>
    Cool,

    /// <summary>Grows in summer; goes brown in a cold winter.</summary>
    Warm,
}

/// <summary>A number and who says so.</summary>
/// <param name="Value">The number, in the unit of the property that holds it.</param>
/// <param name="Source">Published source, or words that say there is none.</param>
public sealed record Figure(double Value, string Source);

/// <summary>The heights at which a grass is mown.</summary>
/// <param name="MinCm">Lowest height a home lawn should be cut to [cm].</param>
/// <param name="UsualCm">Height when the owner has not said otherwise [cm].</param>
/// <param name="MaxCm">Highest usual height [cm].</param>
/// <param name="Source">Who says so.</param>
public sealed record MowingHeights(double MinCm, double UsualCm, double MaxCm, string Source);

/// <summary>What is known of one grass; the figures and their sources are in <c>grasses.json</c>.</summary>
public sealed record Grass
{
    /// <summary>Which grass.</summary>
    public required GrassKind Kind { get; init; }

    /// <summary>Its name in the middle of a sentence.</summary>
    public required string Name { get; init; }

    /// <summary>Cool- or warm-season.</summary>
    public required GrassSeason Season { get; init; }

    /// <summary>Mowing heights.</summary>
    public required MowingHeights Heights { get; init; }

    /// <summary>Mowing heights as a winter overseed on a warm-season base; null when it is not used so.</summary>
    public MowingHeights? WinterOverseedHeights { get; init; }

    /// <summary>Temperature of fastest growth, daily mean [°C].</summary>
    public required Figure GrowthOptimumC { get; init; }

    /// <summary>Spread of the growth curve around its optimum [°C].</summary>
    public required Figure GrowthSpreadC { get; init; }

    /// <summary>Soil temperature at 10 cm below which the shoots rest [°C].</summary>
    public required Figure DormancySoilC { get; init; }

    /// <summary>Soil temperature at 10 cm above which they start again in spring [°C].</summary>
    public required Figure GreenUpSoilC { get; init; }

    /// <summary>Growth in height when nothing is short [cm/day].</summary>
    public required Figure MaxLeafGrowthCmPerDay { get; init; }

    /// <summary>Share of the plant-available water that may be used before the grass is stressed [0–1].</summary>
    public required Figure WaterStressDepletion { get; init; }
}
