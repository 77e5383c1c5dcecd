using System.Collections.Frozen;
using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace TurfWatch.Core.Agronomy;

/// <summary>The grasses of <c>grasses.json</c>.</summary>
public static class Grasses
{
    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter() },
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectRequiredConstructorParameters = true,
    };

    /// <summary>All grasses, in the order in which people are offered them.</summary>
    public static readonly ImmutableArray<Grass> All = Load();

    private static readonly FrozenDictionary<GrassKind, Grass> ByKind = All.ToFrozenDictionary(g =>
        g.Kind
    );

    /// <summary>What is known of <paramref name="kind"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The kind is no member of <see cref="GrassKind"/>.</exception>
    public static Grass Of(GrassKind kind) =>
        ByKind.TryGetValue(kind, out var grass)
            ? grass
            : throw new ArgumentOutOfRangeException(
                nameof(kind),
                kind,
                "not a grass that grasses.json describes; use a named GrassKind"
            );

    private static ImmutableArray<Grass> Load()
    {
        using var stream =
            typeof(Grasses).Assembly.GetManifestResourceStream("grasses.json")
            ?? throw new InvalidOperationException("grasses.json is not embedded in this assembly");
        var sheet = JsonSerializer.Deserialize<Sheet>(stream, Json)!;
        return [.. sheet.Grasses.Select(ToGrass)];
    }

    private static Grass ToGrass(Row row) =>
        new()
        {
            Kind = row.Kind,
            Name = row.Name,
            Season = row.Season,
            Heights = ToCm(row.MowingHeightIn),
            WinterOverseedHeights = row.WinterOverseedHeightIn is { } winter ? ToCm(winter) : null,
            GrowthOptimumC = row.GrowthOptimumC,
            GrowthSpreadC = row.GrowthSpreadC,
            DormancySoilC = row.DormancySoilC,
            GreenUpSoilC = row.GreenUpSoilC,
            ShootStopSoilC = row.ShootStopSoilC,
            RootStopSoilC = row.RootStopSoilC,
            StressHeightCm = ToCm(row.StressHeightIn),
            FallHeightCm = ToCm(row.FallHeightIn),
            SpringScalpCm = ToCm(row.SpringScalpIn),
            Drought = new(
                row.Drought.GoesBrown,
                row.Drought.SurvivalIn * Customary.InchMm,
                row.Drought.EveryDays,
                row.Drought.Text,
                row.Drought.Source
            ),
            Shade = row.Shade,
            Diseases = row.Diseases,
            MaxLeafGrowthCmPerDay = row.MaxLeafGrowthCmPerDay,
            Salt = new(row.SaltDSM.From, row.SaltDSM.To, row.SaltDSM.Source),
            Nitrogen = ToGM2(row.NitrogenLb),
            WinterOverseedNitrogen = row.WinterOverseedNitrogenLb is { } n ? ToGM2(n) : null,
            Seed = row.SeedLb is { } seed ? ToGM2(seed) : null,
            WinterOverseedSeed = row.WinterOverseedSeedLb is { } rye ? ToGM2(rye) : null,
            SeedsPerKg = row.SeedsPerLb is { } seeds
                ? seeds with
                {
                    Value = seeds.Value / Customary.PoundKg,
                }
                : null,
            Germination = row.Germination is { } g
                ? new(g.DaysMin, g.DaysMax, (g.LowF - 32) / 1.8, (g.HighF - 32) / 1.8, g.Source)
                : null,
            WaterStressDepletion = row.WaterStressDepletion,
        };

    private static MowingHeights ToCm(HeightRow row) =>
        new(
            row.Min * Customary.InchCm,
            row.Usual * Customary.InchCm,
            row.Max * Customary.InchCm,
            row.Source
        );

    private static Figure? ToCm(Figure? inches) =>
        inches is null ? null : new(inches.Value * Customary.InchCm, inches.Source);

    private static NitrogenNeed ToGM2(NitrogenRow row) =>
        new(
            row.FeedingMin * Customary.PoundPerThousandSquareFeet,
            row.FeedingMax * Customary.PoundPerThousandSquareFeet,
            row.SeasonMin * Customary.PoundPerThousandSquareFeet,
            row.SeasonMax * Customary.PoundPerThousandSquareFeet,
            row.Source
        );

    private static SeedRate ToGM2(SeedRow row) =>
        new(
            row.Min * Customary.PoundPerThousandSquareFeet,
            row.Usual * Customary.PoundPerThousandSquareFeet,
            row.Max * Customary.PoundPerThousandSquareFeet,
            row.Source
        );

    private sealed record Sheet(string About, Row[] Grasses);

    private sealed record Row(
        GrassKind Kind,
        string Name,
        GrassSeason Season,
        HeightRow MowingHeightIn,
        Figure GrowthOptimumC,
        Figure GrowthSpreadC,
        Figure DormancySoilC,
        Figure GreenUpSoilC,
        Figure ShootStopSoilC,
        DroughtRow Drought,
        ShadeHabit Shade,
        DiseaseHost Diseases,
        Figure MaxLeafGrowthCmPerDay,
        SaltRow SaltDSM,
        NitrogenRow NitrogenLb,
        Figure WaterStressDepletion,
        HeightRow? WinterOverseedHeightIn = null,
        Figure? RootStopSoilC = null,
        Figure? StressHeightIn = null,
        Figure? FallHeightIn = null,
        Figure? SpringScalpIn = null,
        NitrogenRow? WinterOverseedNitrogenLb = null,
        SeedRow? SeedLb = null,
        SeedRow? WinterOverseedSeedLb = null,
        Figure? SeedsPerLb = null,
        GerminationRow? Germination = null
    );

    private sealed record SaltRow(double From, double To, string Source);

    private sealed record NitrogenRow(
        double FeedingMin,
        double FeedingMax,
        double SeasonMin,
        double SeasonMax,
        string Source
    );

    private sealed record SeedRow(double Min, double Usual, double Max, string Source);

    private sealed record GerminationRow(
        int DaysMin,
        int DaysMax,
        double LowF,
        double HighF,
        string Source
    );

    private sealed record DroughtRow(
        bool GoesBrown,
        double SurvivalIn,
        int EveryDays,
        string Text,
        string Source
    );

    private sealed record HeightRow(double Min, double Usual, double Max, string Source);
}
