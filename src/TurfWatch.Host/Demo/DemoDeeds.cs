using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Demo;

/// <summary>A line of a journal in words.</summary>
internal static class DemoDeeds
{
    public static string Words(JournalEntry entry, UnitSystem units)
    {
        var grass = entry.Grass is { } kind
            ? $"the {Grasses.Of(kind).Name.ToLowerInvariant()}"
            : "it";
        return entry.Kind switch
        {
            JournalKind.Fed =>
                $"fed {grass}: nitrogen {Rate(entry.Amount, units)}{Rest(entry, units)}",
            JournalKind.Seeded => $"sowed {grass}: {Rate(entry.Amount, units)}",
            JournalKind.Germinated => $"saw {grass} come up",
            JournalKind.Mowed =>
                $"cut it low, to {(units == UnitSystem.UsCustomary ? $"{entry.Amount / Customary.InchCm:0.#} in" : $"{entry.Amount:0.#} cm")}",
            _ => entry.Kind.ToString(),
        };
    }

    private static string Rest(JournalEntry entry, UnitSystem units) =>
        entry.PotashGM2 is > 0 ? $", potash {Rate(entry.PotashGM2, units)}" : "";

    private static string Rate(double? gramsPerM2, UnitSystem units) =>
        units == UnitSystem.UsCustomary
            ? $"{gramsPerM2 / Customary.PoundPerThousandSquareFeet:0.##} lb per 1,000 sq ft"
            : $"{gramsPerM2:0.#} g/m²";
}
