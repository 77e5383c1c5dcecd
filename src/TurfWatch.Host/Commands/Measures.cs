using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>The measures that people type, and how they become ours.</summary>
internal static class Measures
{
    private static readonly Dictionary<string, Func<double, double>> Areas = new(
        StringComparer.Ordinal
    )
    {
        ["SQFT"] = v => v * Customary.SquareFootM2,
        ["M2"] = v => v,
        ["ACRE"] = v => v * Customary.AcreM2,
    };

    private static readonly Dictionary<string, Func<double, double>> Heights = new(
        StringComparer.Ordinal
    )
    {
        ["IN"] = v => v * Customary.InchCm,
        ["CM"] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> Depths = new(
        StringComparer.Ordinal
    )
    {
        ["IN"] = v => v * Customary.InchMm,
        ["MM"] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> Rates = new(
        StringComparer.Ordinal
    )
    {
        ["LB/1000SQFT"] = v => v * Customary.PoundPerThousandSquareFeet,
        ["G/M2"] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> Masses = new(
        StringComparer.Ordinal
    )
    {
        ["LB"] = v => v * Customary.PoundKg,
        ["KG"] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> SprinklerRates = new(
        StringComparer.Ordinal
    )
    {
        ["IN/H"] = v => v * Customary.InchMm,
        ["MM/H"] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> Shares = new(
        StringComparer.Ordinal
    )
    {
        ["%"] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> Bare = new(
        StringComparer.Ordinal
    )
    {
        [""] = v => v,
    };

    private static readonly Dictionary<string, Func<double, double>> Temperatures = new(
        StringComparer.Ordinal
    )
    {
        ["F"] = v => (v - 32) / 1.8,
        ["C"] = v => v,
    };

    public static double? AreaM2(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Areas, (1, 1e6), "5000sqft", faults);

    public static double? HeightCm(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Heights, (0.5, 15), "2.5in", faults);

    /// <summary>Grass before it is mowed stands higher than any cut.</summary>
    public static double? HeightBeforeCm(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Heights, (1, 60), "4in", faults);

    public static double? RateGM2(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Rates, (0.05, 200), "1lb/1000sqft", faults);

    public static double? DepthMm(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Depths, (0.1, 200), "0.5in", faults);

    public static double? Percent(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Shares, (0, 100), "85%", faults);

    public static double? Ph(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Bare, (3, 10), "7.8", faults);

    public static double? SeedsPerLb(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Bare, (0, 100_000), "9", faults);

    public static double? BagKg(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, Masses, (0.05, 2000), "50lb", faults);

    public static double? SprinklerMmH(string name, string text, ICollection<string> faults) =>
        Words.Measure(name, text, SprinklerRates, (1, 200), "1.5in/h", faults);

    public static double? Amount(
        JournalKind kind,
        string name,
        string text,
        ICollection<string> faults
    ) =>
        kind switch
        {
            JournalKind.Mowed => HeightCm(name, text, faults),
            JournalKind.Watered => DepthMm(name, text, faults),
            JournalKind.SoilMeasured => Words.Measure(
                name,
                text,
                Temperatures,
                (-30, 60),
                "55F",
                faults
            ),
            _ => RateGM2(name, text, faults),
        };

    /// <summary>An amount as the journal shows it, in the unit it is kept in.</summary>
    public static string Show(JournalKind kind, double? amount) =>
        (kind, amount) switch
        {
            (_, null) => "",
            (JournalKind.Mowed, { } v) => $"{v:0.#} cm",
            (JournalKind.Watered, { } v) => $"{v:0.#} mm",
            (JournalKind.SoilMeasured, { } v) => $"{v:0.#} C",
            (_, { } v) => $"{v:0.##} g/m2",
        };
}
