using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>What was typed after a verb of <c>turfwatch amount</c>, and the words that several verbs take.</summary>
internal sealed class AmountWords(
    IReadOnlyDictionary<string, string> typed,
    List<string> faults,
    LocalDate today
)
{
    public static readonly AmountWord Area = new(
        "area",
        "AREA",
        "Area, for example 5000sqft, 450m2 or 0.2acre.",
        Required: true
    );

    public static readonly AmountWord Bag = new(
        "bag",
        "MASS",
        "Size of a bag, for example 50lb or 20kg."
    );

    public static readonly AmountWord Grass = new(
        "grass",
        "GRASS",
        $"The grass: {string.Join(", ", Enum.GetNames<GrassKind>().Select(Words.Kebab))}."
    );

    public static readonly AmountWord State = new(
        "state",
        "STATE",
        "State, two letters, for the rules on fertilizer that are known, for example MD."
    );

    public static readonly AmountWord On = new(
        "on",
        "DATE",
        "The day it is for, year-month-day. Left out: today."
    );

    public static readonly AmountWord Units = new(
        "units",
        "us|metric",
        "Units of the answer. Left out: those of the area, else us."
    );

    private static readonly LocalDate Oldest = new(2000, 1, 1);
    private const int YearsAhead = 5;

    /// <summary>Sentences on what cannot be used.</summary>
    public List<string> Faults => faults;

    /// <summary>The units of the answer.</summary>
    public AmountText Say =>
        new(
            Read<UnitSystem>("units", LawnWords.Units)
                ?? (
                    Text("area")?.TrimEnd().EndsWith("m2", StringComparison.OrdinalIgnoreCase)
                    == true
                        ? UnitSystem.Metric
                        : UnitSystem.UsCustomary
                )
        );

    public bool Has(string name) => typed.ContainsKey(name);

    public string? Text(string name) => typed.GetValueOrDefault(name);

    /// <summary>Reads one word if it was typed.</summary>
    public T? Read<T>(string name, Func<string, string, ICollection<string>, T?> read)
        where T : struct => Text(name) is { } text ? read("--" + name, text, faults) : null;

    /// <summary>The day that the answer is for.</summary>
    public LocalDate Day()
    {
        if (Read<LocalDate>("on", Words.PastDate) is not { } day)
        {
            return today;
        }

        if (day > today.PlusYears(YearsAhead))
        {
            faults.Add(
                $"--on is '{Text("on")}', more than {YearsAhead} years ahead; check the year."
            );
        }

        return day;
    }

    /// <summary>The month of a test on a tag, as its first day.</summary>
    public LocalDate? Month(string name)
    {
        if (Text(name) is not { } text)
        {
            return null;
        }

        var month = NodaTime
            .Text.LocalDatePattern.CreateWithInvariantCulture("uuuu-MM")
            .Parse(text.Trim());
        if (!month.Success)
        {
            faults.Add($"--{name} is '{text}'; write year and month, for example 2026-08.");
            return null;
        }

        if (month.Value < Oldest || month.Value > today)
        {
            faults.Add(
                $"--{name} is '{text}', which {(month.Value > today ? "is still to come" : "no bag of seed is from")}; copy year and month of the test from the tag."
            );
            return null;
        }

        return month.Value;
    }

    /// <summary>A state's two letters.</summary>
    public string? StateCode()
    {
        var code = Text("state")?.Trim().ToUpperInvariant();
        if (code is not null && (code.Length != 2 || !code.All(char.IsAsciiLetterUpper)))
        {
            faults.Add(
                $"--state is '{Text("state")}'; write the two letters of the state, for example TX."
            );
        }

        return code;
    }
}

/// <summary>One word of a verb.</summary>
/// <param name="Name">Its name without dashes.</param>
/// <param name="Takes">What stands after it, in the help.</param>
/// <param name="Means">What it means.</param>
/// <param name="Required">It must be given.</param>
internal sealed record AmountWord(string Name, string Takes, string Means, bool Required = false);
