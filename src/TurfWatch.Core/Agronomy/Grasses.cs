using System.Collections.Frozen;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace TurfWatch.Core.Agronomy;

/// <summary>The grasses of <c>grasses.json</c>.</summary>
public static class Grasses
{
    private const double CmPerInch = 2.54;

    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter() },
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectRequiredConstructorParameters = true,
    };

    private static readonly FrozenDictionary<GrassKind, Grass> ByKind = Load();

    /// <summary>All grasses.</summary>
    public static IEnumerable<Grass> All => ByKind.Values.OrderBy(g => g.Kind);

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

    private static FrozenDictionary<GrassKind, Grass> Load()
    {
        using var stream =
            typeof(Grasses).Assembly.GetManifestResourceStream("grasses.json")
            ?? throw new InvalidOperationException("grasses.json is not embedded in this assembly");
        var sheet = JsonSerializer.Deserialize<Sheet>(stream, Json)!;
        return sheet.Grasses.Select(ToGrass).ToFrozenDictionary(g => g.Kind);
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
                row.Drought.SurvivalIn * CmPerInch * 10,
                row.Drought.EveryDays,
                row.Drought.Text,
                row.Drought.Source
            ),
            Shade = row.Shade,
            MaxLeafGrowthCmPerDay = row.MaxLeafGrowthCmPerDay,
            WaterStressDepletion = row.WaterStressDepletion,
        };

    private static MowingHeights ToCm(HeightRow row) =>
        new(row.Min * CmPerInch, row.Usual * CmPerInch, row.Max * CmPerInch, row.Source);

    private static Figure? ToCm(Figure? inches) =>
        inches is null ? null : new(inches.Value * CmPerInch, inches.Source);

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
        Figure MaxLeafGrowthCmPerDay,
        Figure WaterStressDepletion,
        HeightRow? WinterOverseedHeightIn = null,
        Figure? RootStopSoilC = null,
        Figure? StressHeightIn = null,
        Figure? FallHeightIn = null,
        Figure? SpringScalpIn = null
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
