using System.Collections.Frozen;
using System.Text.Json;
using System.Text.Json.Serialization;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Core.Agronomy;

/// <summary>Reads <c>laws.json</c>.</summary>
internal static class LawBook
{
    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter() },
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectRequiredConstructorParameters = true,
    };

    /// <summary>The law of each state that we have read something of; the code in any case.</summary>
    public static FrozenDictionary<string, FertilizerLaw> ByState { get; } = Load();

    private static FrozenDictionary<string, FertilizerLaw> Load()
    {
        using var stream =
            typeof(LawBook).Assembly.GetManifestResourceStream("laws.json")
            ?? throw new InvalidOperationException("laws.json is not embedded in this assembly");
        return JsonSerializer
            .Deserialize<Sheet>(stream, Json)!
            .Laws.Select(l => new FertilizerLaw(l.State, l.Name, [.. l.Rules.Select(ToRule)], null))
            .ToFrozenDictionary(l => l.State, StringComparer.OrdinalIgnoreCase);
    }

    private static LawRule ToRule(RuleRow row) =>
        new(
            row.Kind,
            row.Text,
            row.Source,
            Day(row.From),
            Day(row.Until),
            GM2(row.TotalLb),
            GM2(row.SolubleLb),
            GM2(row.SeasonLb),
            row.SlowSharePercent
        );

    private static AnnualDate? Day(string? text) =>
        text is null ? null : AnnualDatePattern.Iso.Parse(text).Value;

    private static double? GM2(double? lb) => lb * Customary.PoundPerThousandSquareFeet;

    private sealed record Sheet(string About, StateRow[] Laws);

    private sealed record StateRow(string State, string Name, RuleRow[] Rules);

    private sealed record RuleRow(
        LawKind Kind,
        string Text,
        string Source,
        string? From = null,
        string? Until = null,
        double? TotalLb = null,
        double? SolubleLb = null,
        double? SeasonLb = null,
        double? SlowSharePercent = null
    );
}
