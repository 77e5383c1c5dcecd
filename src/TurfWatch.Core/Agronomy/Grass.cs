using System.Collections.Immutable;

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

/// <summary>What a grass does when it dries out.</summary>
/// <param name="GoesBrown">It rests and comes back; false when it suffers instead.</param>
/// <param name="SurvivalMm">Water that keeps the crowns of a brown lawn alive [mm].</param>
/// <param name="EveryDays">Days between such waterings.</param>
/// <param name="Text">The same in a few words, to follow the grass's name.</param>
/// <param name="Source">Who says so.</param>
public sealed record DroughtHabit(
    bool GoesBrown,
    double SurvivalMm,
    int EveryDays,
    string Text,
    string Source
);

/// <summary>How a grass bears shade.</summary>
/// <param name="LeastSunHours">Hours of sun a day below which it thins.</param>
/// <param name="Text">The same in a few words, to follow the grass's name.</param>
/// <param name="Source">Who says so.</param>
public sealed record ShadeHabit(double LeastSunHours, string Text, string Source);

/// <summary>Nitrogen that a grass is given.</summary>
/// <param name="FeedingMinGM2">Least that a feeding is worth spreading for [g/m²].</param>
/// <param name="FeedingMaxGM2">Most in one feeding [g/m²].</param>
/// <param name="SeasonMinGM2">Least of the usual range in a season [g/m²].</param>
/// <param name="SeasonMaxGM2">Most of it: the ceiling [g/m²].</param>
/// <param name="Source">Who says so.</param>
public sealed record NitrogenNeed(
    double FeedingMinGM2,
    double FeedingMaxGM2,
    double SeasonMinGM2,
    double SeasonMaxGM2,
    string Source
);

/// <summary>Salt in the soil that a grass stands, as electrical conductivity of the saturated paste.</summary>
/// <param name="FromDSM">Where it may begin to suffer [dS/m].</param>
/// <param name="ToDSM">Where it does [dS/m].</param>
/// <param name="Source">Who says so.</param>
public sealed record SaltLimit(double FromDSM, double ToDSM, string Source);

/// <summary>How thick a grass is sown.</summary>
/// <param name="MinGM2">Least [g/m²].</param>
/// <param name="UsualGM2">When nothing else speaks [g/m²].</param>
/// <param name="MaxGM2">Most [g/m²].</param>
/// <param name="Source">Who says so.</param>
public sealed record SeedRate(double MinGM2, double UsualGM2, double MaxGM2, string Source);

/// <summary>How a grass comes up.</summary>
/// <param name="DaysMin">Days after which the first may show.</param>
/// <param name="DaysMax">Days by which it should.</param>
/// <param name="LowC">Lower end of the best temperatures at the seed [°C].</param>
/// <param name="HighC">Upper end [°C].</param>
/// <param name="Source">Who says so.</param>
public sealed record Germination(
    int DaysMin,
    int DaysMax,
    double LowC,
    double HighC,
    string Source
);

/// <summary>Diseases whose weather is reckoned here.</summary>
public enum TurfDisease
{
    /// <summary>Dollar spot.</summary>
    DollarSpot,

    /// <summary>Brown patch.</summary>
    BrownPatch,

    /// <summary>Pythium blight.</summary>
    PythiumBlight,
}

/// <summary>The diseases that a grass is prone to, of those with a published weather model.</summary>
/// <param name="Of">The diseases.</param>
/// <param name="Source">Who says so.</param>
public sealed record DiseaseHost(ImmutableArray<TurfDisease> Of, string Source);

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

    /// <summary>Soil temperature at 10 cm above which the shoots stop [°C].</summary>
    public required Figure ShootStopSoilC { get; init; }

    /// <summary>Soil temperature at 10 cm above which the roots stop [°C]; null when no lawn's soil gets there.</summary>
    public Figure? RootStopSoilC { get; init; }

    /// <summary>Height to mow at in heat or drought [cm]; null when it is not raised.</summary>
    public Figure? StressHeightCm { get; init; }

    /// <summary>Least height to mow at before winter rest [cm]; null when it is not raised.</summary>
    public Figure? FallHeightCm { get; init; }

    /// <summary>Height of the one low cut after green-up [cm]; null when it must not be cut low.</summary>
    public Figure? SpringScalpCm { get; init; }

    /// <summary>What it does when it dries out.</summary>
    public required DroughtHabit Drought { get; init; }

    /// <summary>How it bears shade.</summary>
    public required ShadeHabit Shade { get; init; }

    /// <summary>Diseases that it is prone to.</summary>
    public required DiseaseHost Diseases { get; init; }

    /// <summary>Growth in height when nothing is short [cm/day].</summary>
    public required Figure MaxLeafGrowthCmPerDay { get; init; }

    /// <summary>Salt that it stands.</summary>
    public required SaltLimit Salt { get; init; }

    /// <summary>Nitrogen a feeding and a season.</summary>
    public required NitrogenNeed Nitrogen { get; init; }

    /// <summary>The same for it as a winter overseed on a warm-season base; null when it is not used so.</summary>
    public NitrogenNeed? WinterOverseedNitrogen { get; init; }

    /// <summary>Seeding rate of a new lawn; null for a grass that is planted, not sown.</summary>
    public SeedRate? Seed { get; init; }

    /// <summary>Seeding rate as a winter overseed on a warm-season base; null when it is not used so.</summary>
    public SeedRate? WinterOverseedSeed { get; init; }

    /// <summary>Seeds in a kilogram; null for a grass that is planted.</summary>
    public Figure? SeedsPerKg { get; init; }

    /// <summary>How the seed comes up; null for a grass that is planted.</summary>
    public Germination? Germination { get; init; }

    /// <summary>Share of the plant-available water that may be used before the grass is stressed [0–1].</summary>
    public required Figure WaterStressDepletion { get; init; }
}
