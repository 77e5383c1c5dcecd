using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>Grasses that a home lawn is made of. Links that were mailed hold the numbers: a new grass comes last.</summary>
public enum GrassKind
{
    /// <summary>Common bermudagrass.</summary>
    Bermuda,

    /// <summary>Zoysiagrass.</summary>
    Zoysia,

    /// <summary>St. Augustinegrass.</summary>
    StAugustine,

    /// <summary>Centipedegrass.</summary>
    Centipede,

    /// <summary>Buffalograss.</summary>
    Buffalograss,

    /// <summary>Tall fescue.</summary>
    TallFescue,

    /// <summary>Kentucky bluegrass.</summary>
    KentuckyBluegrass,

    /// <summary>Perennial ryegrass.</summary>
    PerennialRyegrass,

    /// <summary>Annual ryegrass.</summary>
    AnnualRyegrass,

    /// <summary>Fine fescue.</summary>
    FineFescue,

    /// <summary>Hybrid bermudagrass: laid as sod, without seed.</summary>
    HybridBermuda,
}

/// <summary>The units a person reads.</summary>
public enum UnitSystem
{
    /// <summary>°F, inches, mph, pounds per 1,000 square feet.</summary>
    UsCustomary,

    /// <summary>°C, millimetres, m/s, grams per square metre.</summary>
    Metric,
}

/// <summary>A lawn as its owner describes it.</summary>
public sealed record Lawn
{
    /// <summary>Key in the store; 0 before it is stored.</summary>
    public long Id { get; init; }

    /// <summary>What the owner calls it.</summary>
    public string Name { get; init; } = "Lawn";

    /// <summary>Where it is; its zone may have been corrected by the owner.</summary>
    public required Place Place { get; init; }

    /// <summary>The base grass.</summary>
    public required GrassKind Grass { get; init; }

    /// <summary>The winter overseed on a warm-season base; null when there is none.</summary>
    public GrassKind? Overseed { get; init; }

    /// <summary>Area [m²]; null when not told.</summary>
    public double? AreaM2 { get; init; }

    /// <summary>Height the owner mows at [cm]; null means the grass's usual height for the season.</summary>
    public double? MowingHeightCm { get; init; }

    /// <summary>Soil texture.</summary>
    public SoilTexture Soil { get; init; } = SoilTexture.Loam;

    /// <summary>Whether the owner waters it before it suffers.</summary>
    public bool Irrigated { get; init; }

    /// <summary>Shade.</summary>
    public Shade Shade { get; init; } = Shade.Sun;

    /// <summary>Local time at which the morning message is due.</summary>
    public LocalTime MessageTime { get; init; } = new(6, 30);

    /// <summary>Earliest local time at which the owner will or may mow.</summary>
    public LocalTime MowFrom { get; init; } = new(7, 0);

    /// <summary>Local time by which mowing must be over.</summary>
    public LocalTime MowUntil { get; init; } = new(20, 0);

    /// <summary>Days on which the owner can mow; empty means every day.</summary>
    public ImmutableArray<IsoDayOfWeek> MowDays { get; init; } = [];

    /// <summary>How long a mowing takes; a window shorter than this is no window.</summary>
    public Duration MowingTime { get; init; } = Duration.FromHours(1);

    /// <summary>The units of the messages.</summary>
    public UnitSystem Units { get; init; } = UnitSystem.UsCustomary;

    /// <summary>Whether the morning message is wanted.</summary>
    public bool Morning { get; init; } = true;

    /// <summary>Day of the weekly digest; null when none is wanted.</summary>
    public IsoDayOfWeek? DigestDay { get; init; } = IsoDayOfWeek.Saturday;

    /// <summary>Whether alerts are wanted as windows open and close.</summary>
    public bool Alerts { get; init; } = true;

    /// <summary>Days on which the owner may water by local rules; empty means every day.</summary>
    public ImmutableArray<IsoDayOfWeek> WaterDays { get; init; } = [];

    /// <summary>What the sprinklers give [mm/h], measured with cans; null when not known.</summary>
    public double? SprinklerMmH { get; init; }

    /// <summary>The fertilizer at hand; null when not told.</summary>
    public FertilizerGrade? Fertilizer { get; init; }

    /// <summary>Dogs use the lawn.</summary>
    public bool Pets { get; init; }

    /// <summary>The last soil test; null when not told.</summary>
    public SoilTest? SoilTest { get; init; }
}
