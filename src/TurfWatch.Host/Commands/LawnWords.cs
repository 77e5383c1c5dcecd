using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>
/// A lawn as it is typed, on the command line or in a lawn file: the same words, the same
/// sentences when something cannot be used.
/// </summary>
internal static class LawnWords
{
    /// <summary>Every word: its name, what it takes, and what it means.</summary>
    public static readonly (string Name, string Takes, string Means)[] All =
    [
        ("grass", "GRASS", $"Base grass: {Names<GrassKind>()}."),
        ("overseed", "GRASS", "Cool-season grass sown over a warm-season base for winter."),
        ("area", "AREA", "Lawn area, for example 5000sqft, 450m2 or 0.2acre."),
        (
            "height",
            "HEIGHT",
            "Height it is mowed at, for example 2.5in or 6cm. Left out: the grass's usual height."
        ),
        ("soil", "SOIL", $"Soil: {Names<SoilTexture>()}. Left out: loam."),
        ("irrigated", "yes|no", "Whether it is watered before it suffers. Left out: no."),
        ("shade", "SHADE", $"Shade: {Names<Shade>()}. Left out: sun."),
        ("time", "HH:MM", "Local time of the morning message. Left out: 06:30."),
        ("mow-from", "HH:MM", "Earliest time to mow. Left out: 07:00."),
        ("mow-until", "HH:MM", "Time by which mowing is over. Left out: 20:00."),
        (
            "days",
            "DAYS",
            "Days on which mowing is possible, for example mon,wed,sat. Left out: every day."
        ),
        ("morning", "yes|no", "Whether the morning message is sent. Left out: yes."),
        (
            "digest",
            "DAY|no",
            "Day of the weekly digest, for example sun; no for none. Left out: sat."
        ),
        (
            "alerts",
            "yes|no",
            "Whether alerts are sent as the season's windows open and close. Left out: yes."
        ),
        (
            "water-days",
            "DAYS",
            "Days on which local rules allow watering, for example tue,fri. Left out: every day."
        ),
        (
            "sprinkler",
            "RATE",
            "What the sprinklers give, measured with straight-sided cans, for example 0.6in/h or 15mm/h."
        ),
        (
            "fertilizer",
            "N-P-K",
            "Grade of the fertilizer at hand, for example 24-0-11: amounts are told for it."
        ),
        ("pets", "yes|no", "Whether dogs use the lawn. Left out: no."),
        (
            "soil-test",
            "TEST",
            "Date and findings of the last soil test: 2026-03-10,ph=7.9,p=22ppm,k=180ppm,fe=3ppm,b=0.4ppm,om=1.2%,ec=1.1dS/m; those that were tested."
        ),
        ("units", "us|metric", "Units of the messages. Left out: us."),
        (
            "zone",
            "ZONE",
            "IANA time zone, if the one that goes with the ZIP code is wrong, for example America/Phoenix."
        ),
        ("name", "NAME", "What the lawn is called. Left out: Lawn."),
    ];

    private const int LongestName = 60;

    private static readonly GrassKind[] WarmSeason =
    [
        GrassKind.Bermuda,
        GrassKind.HybridBermuda,
        GrassKind.Zoysia,
        GrassKind.StAugustine,
        GrassKind.Centipede,
        GrassKind.Buffalograss,
    ];

    /// <summary>A lawn read anew from changed words, with what no word says kept as it was.</summary>
    public static Lawn Changed(
        Lawn lawn,
        IReadOnlyDictionary<string, string> words,
        Place place,
        ICollection<string> faults
    ) => Read(words, place, faults) with { Id = lawn.Id, MowingTime = lawn.MowingTime };

    /// <summary>Builds the lawn; everything that cannot be used is added to <paramref name="faults"/>.</summary>
    public static Lawn Read(
        IReadOnlyDictionary<string, string> words,
        Place place,
        ICollection<string> faults
    )
    {
        T? One<T>(string name, Func<string, string, ICollection<string>, T?> read)
            where T : struct =>
            words.TryGetValue(name, out var text) ? read("--" + name, text, faults) : null;

        if (!words.ContainsKey("grass"))
        {
            faults.Add($"--grass is missing; write one of {Names<GrassKind>()}.");
        }

        var lawn = new Lawn
        {
            Name = words.TryGetValue("name", out var name) ? Name("--name", name, faults) : "Lawn",
            Place = place,
            Grass = One<GrassKind>("grass", Words.OneOf<GrassKind>) ?? default,
            Overseed = One<GrassKind>("overseed", Words.OneOf<GrassKind>),
            AreaM2 = One<double>("area", Measures.AreaM2),
            MowingHeightCm = One<double>("height", Measures.HeightCm),
            Soil = One<SoilTexture>("soil", Words.OneOf<SoilTexture>) ?? SoilTexture.Loam,
            Irrigated = One<bool>("irrigated", Words.YesNo) ?? false,
            Shade = One<Shade>("shade", Words.OneOf<Shade>) ?? Shade.Sun,
            MessageTime = One<LocalTime>("time", Words.Time) ?? new LocalTime(6, 30),
            MowFrom = One<LocalTime>("mow-from", Words.Time) ?? new LocalTime(7, 0),
            MowUntil = One<LocalTime>("mow-until", Words.Time) ?? new LocalTime(20, 0),
            MowDays = words.TryGetValue("days", out var days)
                ? [.. Words.Days("--days", days, faults)]
                : [],
            Morning = One<bool>("morning", Words.YesNo) ?? true,
            DigestDay = words.TryGetValue("digest", out var digest)
                ? DigestDay("--digest", digest, faults)
                : IsoDayOfWeek.Saturday,
            Alerts = One<bool>("alerts", Words.YesNo) ?? true,
            WaterDays = words.TryGetValue("water-days", out var water)
                ? [.. Words.Days("--water-days", water, faults)]
                : [],
            SprinklerMmH = One<double>("sprinkler", Measures.SprinklerMmH),
            Fertilizer = words.TryGetValue("fertilizer", out var grade)
                ? GradeWords.Read("--fertilizer", grade, faults)
                : null,
            Pets = One<bool>("pets", Words.YesNo) ?? false,
            SoilTest = words.TryGetValue("soil-test", out var test)
                ? SoilTestWords.Read("--soil-test", test, faults)
                : null,
            Units = One<UnitSystem>("units", Units) ?? UnitSystem.UsCustomary,
        };
        Judge(lawn, words, faults);
        return lawn;
    }

    private static void Judge(
        Lawn lawn,
        IReadOnlyDictionary<string, string> words,
        ICollection<string> faults
    )
    {
        if (lawn.MowFrom >= lawn.MowUntil)
        {
            faults.Add(
                $"--mow-from {lawn.MowFrom:HH:mm} is not before --mow-until {lawn.MowUntil:HH:mm}; make the first the earlier one."
            );
        }

        if (lawn.Overseed is { } over && words.ContainsKey("grass"))
        {
            if (!WarmSeason.Contains(lawn.Grass))
            {
                faults.Add(
                    $"--overseed {Words.Kebab(over.ToString())} is given with --grass {Words.Kebab(lawn.Grass.ToString())}, which stays green in winter; leave --overseed out, or name the warm-season grass underneath."
                );
            }
            else if (WarmSeason.Contains(over))
            {
                faults.Add(
                    $"--overseed is {Words.Kebab(over.ToString())}, a warm-season grass; name the cool-season grass that is sown for winter, for example perennial-ryegrass."
                );
            }
        }
    }

    // It stands in subjects and on pages, and goes to the database.
    private static string Name(string name, string text, ICollection<string> faults)
    {
        var trimmed = text.Trim();
        if (trimmed.Length is > 0 and <= LongestName && !trimmed.Any(IsOdd))
        {
            return trimmed;
        }

        faults.Add(
            $"{name} is empty, longer than {LongestName} letters, or holds signs that cannot be shown; write a short name, for example Back yard."
        );
        return "Lawn";
    }

    private static bool IsOdd(char c) =>
        char.IsControl(c)
        || char.GetUnicodeCategory(c)
            is UnicodeCategory.LineSeparator
                or UnicodeCategory.ParagraphSeparator
                or UnicodeCategory.OtherNotAssigned
                or UnicodeCategory.PrivateUse
        || c == '\ufffd';

    private static IsoDayOfWeek? DigestDay(string name, string text, ICollection<string> faults)
    {
        if (text.Trim().ToUpperInvariant() is "NO" or "NONE" or "NEVER")
        {
            return null;
        }

        var days = Words.Days(name, text, faults);
        if (days.Count > 1)
        {
            faults.Add($"{name} is '{text}'; the digest comes once a week: write one day, or no.");
        }

        return days.Count == 1 ? days[0] : null;
    }

    public static UnitSystem? Units(string name, string text, ICollection<string> faults)
    {
        switch (text.Trim().ToUpperInvariant())
        {
            case "US":
                return UnitSystem.UsCustomary;
            case "METRIC":
                return UnitSystem.Metric;
            default:
                faults.Add($"{name} is '{text}'; write us or metric.");
                return null;
        }
    }

    private static string Names<T>()
        where T : struct, Enum => string.Join(", ", Enum.GetNames<T>().Select(Words.Kebab));
}
