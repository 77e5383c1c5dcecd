using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>
/// A soil test as it is typed: the date of the sample, then what the laboratory found, for example
/// <c>2026-03-10,ph=7.9,p=22ppm,k=180ppm,om=1.2%</c>.
/// </summary>
internal static class SoilTestWords
{
    private const string Example =
        "2026-03-10,ph=7.9,p=22ppm,k=180ppm,fe=3ppm,b=0.4ppm,om=1.2%,ec=1.1dS/m";

    private static readonly Dictionary<string, Finding> Findings = new(
        StringComparer.OrdinalIgnoreCase
    )
    {
        ["ph"] = new("", 3, 10, (t, v) => t with { Ph = v }),
        ["p"] = new("ppm", 0, 1000, (t, v) => t with { PhosphorusMgKg = v }),
        ["k"] = new("ppm", 0, 5000, (t, v) => t with { PotassiumMgKg = v }),
        ["fe"] = new("ppm", 0, 1000, (t, v) => t with { IronMgKg = v }),
        ["b"] = new("ppm", 0, 50, (t, v) => t with { BoronMgKg = v }),
        ["om"] = new("%", 0, 60, (t, v) => t with { OrganicMatterPercent = v }),
        ["ec"] = new("dS/m", 0, 50, (t, v) => t with { SalinityDSM = v }),
    };

    public static SoilTest? Read(string name, string text, ICollection<string> faults)
    {
        var before = faults.Count;
        var dates = new List<LocalDate>();
        var found = new List<Func<SoilTest, SoilTest>>();
        foreach (
            var part in text.Split(
                [',', ';', ' '],
                StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries
            )
        )
        {
            var equals = part.IndexOf('=', StringComparison.Ordinal);
            if (equals < 0)
            {
                if (Words.PastDate(name, part, faults) is { } date)
                {
                    dates.Add(date);
                }
            }
            else if (Value(name, part[..equals], part[(equals + 1)..], faults) is { } set)
            {
                found.Add(set);
            }
        }

        if (faults.Count == before && (dates.Count != 1 || found.Count == 0))
        {
            faults.Add(
                $"{name} is '{text}'; write one date, of the sample, and what was found, for example {Example}."
            );
        }

        return faults.Count == before
            ? found.Aggregate(new SoilTest { Date = dates[0] }, (test, set) => set(test))
            : null;
    }

    private static Func<SoilTest, SoilTest>? Value(
        string name,
        string what,
        string text,
        ICollection<string> faults
    )
    {
        if (!Findings.TryGetValue(what, out var finding))
        {
            faults.Add(
                $"{name} holds '{what}', which is not a finding that is used; write of {string.Join(", ", Findings.Keys)}, for example {Example}."
            );
            return null;
        }

        var digits = text.TrimEnd('%').Replace("mg/kg", "ppm", StringComparison.OrdinalIgnoreCase);
        if (
            finding.Unit.Length > 0
            && digits.EndsWith(finding.Unit, StringComparison.OrdinalIgnoreCase)
        )
        {
            digits = digits[..^finding.Unit.Length];
        }

        if (
            double.TryParse(digits, NumberStyles.Float, CultureInfo.InvariantCulture, out var value)
            && value >= finding.Least
            && value <= finding.Most
        )
        {
            return test => finding.Set(test, value);
        }

        faults.Add(
            $"{name} holds {what}={text}; write a number from {AmountText.Number(finding.Least)} to {AmountText.Number(finding.Most)}{(finding.Unit.Length == 0 ? "" : " " + finding.Unit)} as the laboratory's sheet has it."
        );
        return null;
    }

    private sealed record Finding(
        string Unit,
        double Least,
        double Most,
        Func<SoilTest, double, SoilTest> Set
    );
}
