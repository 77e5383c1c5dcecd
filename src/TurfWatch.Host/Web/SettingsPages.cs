using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Commands;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Web;

/// <summary>The settings of a lawn as one form: the words of <see cref="LawnWords"/>, read by the same rules as everywhere.</summary>
internal static class SettingsPages
{
    private static readonly (string, string)[] YesNo = [("yes", "Yes"), ("no", "No")];

    private static readonly string[] DayWords = ["days", "water-days"];

    private static readonly (string Value, string Words)[] Days =
    [
        ("mon", "Monday"),
        ("tue", "Tuesday"),
        ("wed", "Wednesday"),
        ("thu", "Thursday"),
        ("fri", "Friday"),
        ("sat", "Saturday"),
        ("sun", "Sunday"),
    ];

    private static readonly Dictionary<string, string> Labels = new(StringComparer.Ordinal)
    {
        ["name"] = "What the lawn is called",
        ["zip"] = "ZIP code",
        ["grass"] = "Grass",
        ["overseed"] = "Sown over it for winter",
        ["area"] = "Area",
        ["height"] = "Height you mow at",
        ["soil"] = "Soil",
        ["irrigated"] = "Watered before it suffers",
        ["shade"] = "Shade",
        ["pets"] = "Dogs use it",
        ["time"] = "Time of the morning message",
        ["mow-from"] = "Earliest time to mow",
        ["mow-until"] = "Mowing is over by",
        ["days"] = "Days on which you can mow",
        ["water-days"] = "Days on which watering is allowed",
        ["sprinkler"] = "What the sprinklers give",
        ["fertilizer"] = "Fertilizer at hand",
        ["soil-test"] = "Last soil test",
        ["morning"] = "Morning message",
        ["digest"] = "Day of the weekly digest",
        ["alerts"] = "Alerts as windows open and close",
        ["units"] = "Units",
        ["zone"] = "Time zone",
    };

    public static void MapSettings(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/lawn/{token}/settings", PageRoutes.Looking, Look).NeedsFreshLink();
        routes.MapPost("/lawn/{token}/settings", Change).DisableAntiforgery().NeedsFreshLink();
    }

    private static async Task<IResult> Look(LawnLink link) =>
        await link.OwnedAsync() is { } owned
            ? Form(link.Token, Shown(owned.Lawn), [], LawnPages.Once(link.Tokens, link.Now))
            : Page.NotFound();

    private static async Task<IResult> Change(LawnLink link)
    {
        var (form, refused) = await LawnForm.ReadAsync(link);
        if (form is null)
        {
            return refused!;
        }

        var (token, _, tokens, store, _, _) = link;
        var (owned, typed, id, now) = form;

        foreach (var name in DayWords.Where(typed.ContainsKey))
        {
            // A box each, and an empty one that says that the boxes were there.
            typed[name] = string.Join(
                ',',
                typed[name].Split(',', StringSplitOptions.RemoveEmptyEntries)
            );
        }

        var shown = Shown(owned.Lawn);
        var changed = Labels
            .Keys.Where(k =>
                typed.ContainsKey(k) && typed[k].Trim() != shown.GetValueOrDefault(k, "")
            )
            .ToDictionary(k => k, k => typed[k].Trim(), StringComparer.Ordinal);
        var faults = new List<string>();
        var lawn = Read(owned.Lawn, changed, faults);
        if (faults.Count > 0)
        {
            foreach (var (name, value) in changed)
            {
                shown[name] = value;
            }

            return Form(token, shown, faults, LawnPages.Once(tokens, now));
        }

        return changed.Count == 0
            ? Page.Told(
                "Nothing was changed",
                ["All is set as it was."],
                ($"/lawn/{token}", "Back to the lawn's page")
            )
            : await LawnPages.Do(
                new()
                {
                    Id = id,
                    SubscriberId = owned.Subscriber.Id,
                    LawnId = owned.Lawn.Id,
                    Changed = lawn,
                },
                changed.Select(c =>
                    c.Value.Length > 0
                        ? $"{Labels[c.Key]}: {c.Value}"
                        : $"{Labels[c.Key]}: not told any more"
                ),
                token,
                tokens,
                store,
                now
            );
    }

    private static Lawn Read(Lawn lawn, Dictionary<string, string> changed, List<string> faults)
    {
        // What was not touched keeps its own words, so that no rounding creeps in.
        var words = LawnWordsOf.Lawn(lawn);
        var place = lawn.Place;
        foreach (var (name, value) in changed)
        {
            if (name == "zip")
            {
                var found = ZipDirectory.Lookup(value);
                faults.AddRange(found.Problem is { } problem ? [$"--zip: {problem}"] : []);
                place = found.Place ?? place;
            }
            else if (name == "zone")
            {
                continue;
            }
            else if (value.Length > 0)
            {
                words[name] = SpokenSetting.Word(name, value, lawn.Units);
            }
            else
            {
                words.Remove(name);
            }
        }

        if (changed.GetValueOrDefault("zone", "") is { Length: > 0 } zone)
        {
            var found = ZipDirectory.WithZone(place, zone);
            faults.AddRange(found.Problem is { } problem ? [$"--zone: {problem}"] : []);
            place = found.Place ?? place;
        }

        return LawnWords.Changed(lawn, words, place, faults);
    }

    private static Dictionary<string, string> Shown(Lawn lawn)
    {
        var words = LawnWordsOf.Lawn(lawn);
        foreach (var name in DayWords.Where(words.ContainsKey))
        {
            // In the order of the boxes.
            var days = words[name].Split(',');
            words[name] = string.Join(',', Days.Select(d => d.Value).Where(days.Contains));
        }

        if (lawn.Units == UnitSystem.UsCustomary)
        {
            Told("area", lawn.AreaM2 / Customary.SquareFootM2, " sq ft");
            Told("height", lawn.MowingHeightCm / Customary.InchCm, " in");
            Told("sprinkler", lawn.SprinklerMmH / Customary.InchMm, " in/h");
        }

        words["zip"] = lawn.Place.Zip;
        words["zone"] = lawn.Place.ZoneId;
        return words;

        void Told(string name, double? value, string unit)
        {
            if (value is { } number)
            {
                words[name] = FormattableString.Invariant($"{number:0.###}{unit}");
            }
        }
    }

    private static IResult Form(
        string token,
        Dictionary<string, string> values,
        List<string> faults,
        string once
    )
    {
        var fields = new Fields(
            values,
            Fields.ByField(faults, n => Labels.GetValueOrDefault(n, n))
        );
        return Page.Show(
            faults.Count > 0 ? StatusCodes.Status400BadRequest : StatusCodes.Status200OK,
            faults.Count > 0 ? "Not saved yet: settings" : "Settings",
            $"""
            {fields.Summary()}
            <p><a href="/lawn/{Page.Encode(token)}">Back to the lawn's page</a></p>
            <form method="post" action="/lawn/{Page.Encode(token)}/settings">
            <h2>The lawn</h2>
            {Text("name", "")}
            {Text(
                "zip",
                "Five digits, United States.",
                "inputmode=\"numeric\" autocomplete=\"postal-code\" required"
            )}
            {Select("grass", Fields.Grass())}
            {Select(
                "overseed",
                [("", "Nothing"), .. Fields.Grass(GrassSeason.Cool)]
            )}
            {Text("area", "For example 3000 sq ft, 280 m2 or 0.1 acre.")}
            {Text("height", "For example 2.5 in or 6 cm; empty: the usual height of the grass.")}
            {Select("soil", Names<SoilTexture>())}
            {Select("irrigated", YesNo)}
            {Select("shade", Names<Shade>())}
            {Select("pets", YesNo)}
            <h2>When you can mow and water</h2>
            {Text("mow-from", "", "type=\"time\" required")}
            {Text("mow-until", "", "type=\"time\" required")}
            {fields.Ticks("days", Labels["days"], Days, "None ticked: every day.")}
            {fields.Ticks("water-days", Labels["water-days"], Days, "By local rules. None ticked: every day.")}
            {Text("sprinkler", "Measured with straight-sided cans, for example 0.6 in/h or 15 mm/h.")}
            {Text("fertilizer", "Its grade, for example 24-0-11.")}
            {Text(
                "soil-test",
                "Date and findings, for example 2026-03-10,ph=7.9,p=22ppm,k=180ppm."
            )}
            <h2>Messages</h2>
            {Select("morning", YesNo)}
            {Text("time", "The alerts and the digest come with it.", "type=\"time\" required")}
            {Select("digest", [("no", "None"), .. Days])}
            {Select("alerts", YesNo)}
            {Select(
                "units",
                [("us", "°F, inches, pounds"), ("metric", "°C, millimetres, kilograms")]
            )}
            {Text("zone", "For example America/Phoenix.")}
            <input type="hidden" name="once" value="{once}">
            <p class="send"><button type="submit">Save</button></p>
            </form>
            """
        );

        string Text(string name, string hint, string attributes = "autocomplete=\"off\"") =>
            fields.Text(name, Labels[name], hint, attributes);
        string Select(string name, IEnumerable<(string, string)> choices) =>
            fields.Select(name, Labels[name], choices);
    }

    private static IEnumerable<(string, string)> Names<T>()
        where T : struct, Enum =>
        Enum.GetNames<T>().Select(n => (Words.Kebab(n), Words.Kebab(n).Replace('-', ' ')));
}
