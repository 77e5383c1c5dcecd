using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Join;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Fuzz.Targets;

/// <summary>What people write back, and how lawns are described: nothing that cannot be gets into a journal.</summary>
internal static class AnswerTargets
{
    private static readonly LocalDateTime Now = new(2026, 11, 25, 9, 30);

    private static readonly Lawn Lawn = new()
    {
        Id = 1,
        Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
        Grass = GrassKind.Bermuda,
        Overseed = GrassKind.PerennialRyegrass,
        AreaM2 = 278,
    };

    public static IEnumerable<FuzzTarget> Make()
    {
        yield return new("answers", Answers)
        {
            Words =
            [
                "mowed",
                "fed",
                "seeded",
                "watered",
                "soil",
                "germinated",
                "set",
                "pause until",
                "resume",
                "undo",
                "yesterday",
                "2 1/2",
                "2½",
                "21-0-0",
                "lb",
                "per 1000",
                "in",
                "cm",
                "min",
                "°F",
                "jan 10",
                "11/24",
                "2026-11-24",
                "ago",
                "name",
                "zone",
                "soil-test",
                "area",
                "height",
                "time",
                "days",
                "America/Phoenix",
                "monday",
                "advised",
            ],
        };
        yield return new("join-text", Join)
        {
            Words =
            [
                "85719",
                "bermuda",
                "with rye",
                "3000 sq ft",
                "0.2 acre",
                "2 in",
                "fescue",
                "-1234",
            ],
        };
        yield return new("lawn-words", Words)
        {
            Words =
            [
                .. LawnWords.All.Select(w => w.Name),
                "2026-03-10,ph=7.9,p=22ppm,k=180ppm",
                "24-0-11",
                "06:30",
                "mon,wed",
                "0.6in/h",
                "3000sqft",
            ],
        };
    }

    private static void Answers(byte[] input)
    {
        var lines = ReplyText.OwnLines(Encoding.UTF8.GetString(input));
        foreach (var units in Enum.GetValues<UnitSystem>())
        {
            var effect = AnswerEffect.Of(
                AnswerReader.Read(lines, Now, units),
                Lawn with
                {
                    Units = units,
                },
                Now.Date,
                advised: null
            );
            foreach (var entry in effect.Adds)
            {
                Entry(entry);
            }

            if (effect.PausedUntil is { } until)
            {
                Promise.Holds(
                    until <= Now.Date.PlusYears(1) || until == LocalDate.MaxIsoValue,
                    "a pause of years"
                );
            }

            if (effect.Changed is { } changed)
            {
                Possible(changed);
            }
        }
    }

    private static void Join(byte[] input)
    {
        var lawn = JoinReader.Read(ReplyText.OwnLines(Encoding.UTF8.GetString(input)));
        if (lawn is not null)
        {
            Possible(lawn);
        }
    }

    // Lines of word=value.
    private static void Words(byte[] input)
    {
        var words = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var line in Encoding.UTF8.GetString(input).Split('\n'))
        {
            var cells = line.Split('=', 2);
            words[cells[0]] = cells.Length > 1 ? cells[1] : "";
        }

        var faults = new List<string>();
        var lawn = LawnWords.Read(words, Lawn.Place, faults);
        if (faults.Count == 0)
        {
            Possible(lawn);
            // What was read can be written and read again.
            var again = LawnWords.Read(LawnWordsOf.Lawn(lawn), lawn.Place, faults);
            Promise.Holds(
                faults.Count == 0 && again.Name == lawn.Name,
                "a lawn that cannot be told in its own words"
            );
        }
    }

    private static void Entry(JournalEntry entry)
    {
        Promise.Holds(
            entry.Date <= Now.Date && entry.Date > Now.Date.PlusYears(-2),
            "a deed of another time"
        );
        foreach (
            var number in new[]
            {
                entry.Amount,
                entry.HeightBeforeCm,
                entry.PhosphateGM2,
                entry.PotashGM2,
            }
        )
        {
            Promise.Holds(
                number is null || (double.IsFinite(number.Value) && Math.Abs(number.Value) <= 1000),
                $"{entry.Kind} by an amount that cannot be"
            );
        }
    }

    private static void Possible(Lawn lawn)
    {
        Promise.Holds(
            lawn.Name.Length is > 0 and <= 100 && !lawn.Name.Any(char.IsControl),
            "a name that is no line"
        );
        Promise.Holds(lawn.AreaM2 is null or (>= 1 and <= 1e7), "an area that cannot be");
        Promise.Holds(lawn.MowingHeightCm is null or (>= 0.1 and <= 30), "a height that cannot be");
        Promise.Holds(lawn.SprinklerMmH is null or (> 0 and <= 500), "sprinklers that cannot be");
        Promise.Holds(lawn.MowFrom < lawn.MowUntil, "a day that ends before it begins");
        _ = lawn.Place.Zone;
    }
}
