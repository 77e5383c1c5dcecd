namespace TurfWatch.Core;

/// <summary>Whether the grass canopy is green and transpires.</summary>
public enum CanopyState
{
    /// <summary>Green leaves.</summary>
    Active,

    /// <summary>Brown, dormant leaves: they shade the soil and transpire nothing.</summary>
    Dormant,
}

/// <summary>How much sun the lawn has.</summary>
public enum Shade
{
    /// <summary>Open sky.</summary>
    Sun,

    /// <summary>Sun for about half of the day.</summary>
    Partial,

    /// <summary>Little direct sun.</summary>
    Full,
}

/// <summary>Soil texture, coarse to fine, as an owner can tell it by hand.</summary>
public enum SoilTexture
{
    /// <summary>Sand.</summary>
    Sand,

    /// <summary>Sandy loam.</summary>
    SandyLoam,

    /// <summary>Loam.</summary>
    Loam,

    /// <summary>Clay loam.</summary>
    ClayLoam,

    /// <summary>Clay.</summary>
    Clay,
}

/// <summary>
/// What the physics must know of a lawn. Lawns of one class in one cell share their site conditions.
/// </summary>
/// <param name="Canopy">Green or dormant.</param>
/// <param name="Shade">Sun, partial or full shade.</param>
/// <param name="Irrigated">The owner waters before the grass suffers.</param>
/// <param name="Soil">Soil texture.</param>
/// <param name="WarmSeason">Warm-season grass (it uses less water than cool-season grass).</param>
public sealed record SurfaceClass(
    CanopyState Canopy,
    Shade Shade,
    bool Irrigated,
    SoilTexture Soil,
    bool WarmSeason
)
{
    /// <summary>Short stable key for the store, for example <c>active-sun-irrigated-loam-warm</c>.</summary>
    public string Key =>
        string.Join(
                '-',
                Canopy,
                Shade,
                Irrigated ? "irrigated" : "rainfed",
                Soil,
                WarmSeason ? "warm" : "cool"
            )
            .ToLowerInvariant();
}
