using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>A lawn written out in the words that <see cref="LawnWords"/> reads, so that one of them can be changed.</summary>
internal static class LawnWordsOf
{
    public static Dictionary<string, string> Lawn(Lawn lawn)
    {
        var words = new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["grass"] = Words.Kebab(lawn.Grass.ToString()),
            ["soil"] = Words.Kebab(lawn.Soil.ToString()),
            ["irrigated"] = YesNo(lawn.Irrigated),
            ["shade"] = Words.Kebab(lawn.Shade.ToString()),
            ["time"] = Clock(lawn.MessageTime),
            ["mow-from"] = Clock(lawn.MowFrom),
            ["mow-until"] = Clock(lawn.MowUntil),
            ["morning"] = YesNo(lawn.Morning),
            ["digest"] = lawn.DigestDay is { } day ? Short(day) : "no",
            ["alerts"] = YesNo(lawn.Alerts),
            ["pets"] = YesNo(lawn.Pets),
            ["units"] = lawn.Units == UnitSystem.Metric ? "metric" : "us",
            ["name"] = lawn.Name,
        };
        Add("overseed", lawn.Overseed is { } over ? Words.Kebab(over.ToString()) : null);
        Add("area", lawn.AreaM2 is { } area ? $"{Number(area)}m2" : null);
        Add("height", lawn.MowingHeightCm is { } height ? $"{Number(height)}cm" : null);
        Add("days", Days(lawn.MowDays));
        Add("water-days", Days(lawn.WaterDays));
        Add("sprinkler", lawn.SprinklerMmH is { } rate ? $"{Number(rate)}mm/h" : null);
        Add(
            "fertilizer",
            lawn.Fertilizer is { } grade
                ? $"{Number(grade.NitrogenPercent)}-{Number(grade.PhosphatePercent)}-{Number(grade.PotashPercent)}"
                : null
        );
        Add("soil-test", lawn.SoilTest is { } test ? Test(test) : null);
        return words;

        void Add(string word, string? value)
        {
            if (value is { Length: > 0 })
            {
                words[word] = value;
            }
        }
    }

    private static string Test(SoilTest test)
    {
        (string Name, double? Value, string Unit)[] found =
        [
            ("ph", test.Ph, ""),
            ("p", test.PhosphorusMgKg, "ppm"),
            ("k", test.PotassiumMgKg, "ppm"),
            ("fe", test.IronMgKg, "ppm"),
            ("b", test.BoronMgKg, "ppm"),
            ("om", test.OrganicMatterPercent, "%"),
            ("ec", test.SalinityDSM, "dS/m"),
        ];
        return string.Join(
            ',',
            found
                .Where(f => f.Value is not null)
                .Select(f => $"{f.Name}={Number(f.Value!.Value)}{f.Unit}")
                .Prepend(test.Date.ToString("uuuu-MM-dd", CultureInfo.InvariantCulture))
        );
    }

    private static string Days(IReadOnlyCollection<IsoDayOfWeek> days) =>
        string.Join(',', days.Select(Short));

    private static string Short(IsoDayOfWeek day) => day.ToString()[..3].ToLowerInvariant();

    private static string YesNo(bool yes) => yes ? "yes" : "no";

    private static string Clock(LocalTime time) =>
        time.ToString("HH:mm", CultureInfo.InvariantCulture);

    private static string Number(double value) =>
        value.ToString("0.######", CultureInfo.InvariantCulture);
}
