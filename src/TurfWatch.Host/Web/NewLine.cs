using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using static TurfWatch.Host.Web.Page;

namespace TurfWatch.Host.Web;

/// <summary>
/// A new line for the journal: fields for what, when and how much, of which the style sheet shows those of the kind that
/// is chosen; or one field for the words of an answer. What is wrong is told beside its field.
/// </summary>
internal static class NewLine
{
    private const string Line = "line";

    private static readonly Dictionary<string, string> Labels = new(StringComparer.Ordinal)
    {
        ["kind"] = "What was done",
        ["day"] = "Day",
        ["height"] = "Height of cut",
        ["product"] = "How much was fed",
        ["grade"] = "Grade of the fertilizer",
        ["seed"] = "How much seed",
        ["grass"] = "Grass of the seed",
        ["water"] = "How much water",
        ["soil"] = "Temperature of the soil",
        ["at"] = "Time of the reading",
        [Line] = "In your own words",
    };

    public static void MapNewLine(this IEndpointRouteBuilder routes) =>
        routes.MapPost("/lawn/{token}/write", WriteAsync).DisableAntiforgery();

    /// <summary>Both forms, empty, for the lawn's page.</summary>
    public static string Forms(string token, LocalDate today, Func<string> once) =>
        Forms(token, new(Fresh(today), Fields.ByField([], n => n)), today, once);

    /// <summary>The page that says what was not understood in the words of an answer, beside them.</summary>
    public static IResult NotSaid(
        string token,
        LawnForm form,
        IEnumerable<string> faults,
        LinkTokens tokens
    )
    {
        var values = Fresh(form.Local.Date);
        values[Line] = form.Typed.GetValueOrDefault(Line, "");
        return Again(token, form, values, [.. faults.Select(f => $"--{Line}: {f}")], tokens);
    }

    private static Dictionary<string, string> Fresh(LocalDate today) =>
        new(StringComparer.Ordinal)
        {
            ["kind"] = EntryWords.Verb(JournalKind.Mowed),
            ["day"] = $"{today:uuuu-MM-dd}",
        };

    private static async Task<IResult> WriteAsync(LawnLink link, LawnToday today)
    {
        var (form, refused) = await LawnForm.ReadAsync(link);
        if (form is null)
        {
            return refused!;
        }

        var (token, _, tokens, store, _, cancel) = link;

        var values = Labels.Keys.ToDictionary(
            n => n,
            n => form.Typed.GetValueOrDefault(n, "").Trim(),
            StringComparer.Ordinal
        );
        var faults = new List<string>();
        if (await ReadAsync(form, values, today, faults, cancel) is not { } effect)
        {
            return Again(token, form, values, faults, tokens);
        }

        var say = new PhraseText(form.Owned.Lawn, form.Local.Date);
        return await LawnPages.Do(
            effect.DeedFor(form.Id, form.Owned),
            effect.Understood.Select(say.Of),
            token,
            tokens,
            store,
            form.Now
        );
    }

    private static async Task<AnswerEffect?> ReadAsync(
        LawnForm form,
        Dictionary<string, string> values,
        LawnToday today,
        List<string> faults,
        CancellationToken cancel
    )
    {
        var lawn = form.Owned.Lawn;
        var kind = LineReader.Kind(values["kind"], faults);
        var day = LineReader.Day(values["day"], null, form.Local, lawn.Units, faults);
        if (kind is not { } k)
        {
            return null;
        }

        Look(k, values, form.Local, lawn.Units, faults);
        if (day is not { } date || faults.Count > 0)
        {
            return null;
        }

        var (field, amount, example) = k switch
        {
            JournalKind.Mowed => ("height", values["height"], "2.5 in"),
            JournalKind.Fed => ("product", $"{values["product"]} {values["grade"]}".Trim(), "5 lb"),
            JournalKind.Seeded => ("seed", $"{values["seed"]} {values["grass"]}".Trim(), "10 lb"),
            JournalKind.Germinated => ("grass", values["grass"], "annual ryegrass"),
            JournalKind.Watered => ("water", values["water"], "0.5 in, or: 20 min"),
            JournalKind.SoilMeasured => (
                "soil",
                values["at"].Length > 0 ? $"{values["soil"]} at {values["at"]}" : values["soil"],
                "61 F"
            ),
            _ => ("kind", "", ""),
        };
        return await LineReader.ReadAsync(
            k,
            amount,
            date,
            field,
            example,
            lawn,
            form.Local,
            today,
            faults,
            cancel
        );
    }

    /// <summary>Faults of single fields that the line as a whole would not tell apart.</summary>
    private static void Look(
        JournalKind kind,
        Dictionary<string, string> values,
        LocalDateTime now,
        UnitSystem units,
        List<string> faults
    )
    {
        if (kind == JournalKind.Fed && values["grade"] is { Length: > 0 } grade)
        {
            if (AnswerReader.Read([$"fed {grade}"], now, units) is not [Did { Grade: not null }])
            {
                faults.Add(
                    $"--grade is '{grade}'; copy the three numbers from the bag, for example 21-0-0, or leave it empty."
                );
            }
            else if (values["product"].Length == 0)
            {
                faults.Add(
                    "--product is empty; write how much of it, for example 5 lb, or leave the grade empty too."
                );
            }
        }
        else if (
            kind == JournalKind.Fed
            && AnswerReader.Read([$"fed {values["product"]}"], now, units) is [NotUnderstood]
            && AnswerReader.Read([$"fed {values["product"]} 10-10-10"], now, units) is [Did]
        )
        {
            faults.Add(
                "--grade is empty; copy the three numbers from the bag, for example 21-0-0."
            );
        }
    }

    private static IResult Again(
        string token,
        LawnForm form,
        Dictionary<string, string> values,
        List<string> faults,
        LinkTokens tokens
    )
    {
        var fields = new Fields(
            values,
            Fields.ByField(faults, n => Labels.GetValueOrDefault(n, n))
        );
        return Show(
            StatusCodes.Status400BadRequest,
            "Not written down yet",
            $"""
            {fields.Summary()}
            {Forms(
                Encode(token),
                fields,
                form.Local.Date,
                () => LawnPages.Once(tokens, form.Now)
            )}
            <p><a href="/lawn/{Encode(token)}">Back to the lawn's page</a></p>
            """
        );
    }

    private static string Forms(string token, Fields fields, LocalDate today, Func<string> once)
    {
        return $"""
            <h2>What did you do?</h2>
            <form method="post" action="/lawn/{token}/write" class="by-kind">
            {fields.Select("kind", Labels["kind"], EntryWords.Kinds.Select(k => (k.Verb, k.Name)))}
            {Text("day", "", $"type=\"date\" required max=\"{today:uuuu-MM-dd}\"")}
            {Of("mowed", Text("height", "For example 2.5 in or 6 cm. Empty: not told."))}
            {Of(
                "fed",
                Text("product", "For example 5 lb; 0.5 lb N per 1000; as advised. Empty: not told."),
                Text("grade", "The three numbers on the bag, for example 21-0-0.")
            )}
            {Of("seeded", Text("seed", "For example 10 lb, or 8 lb per 1000. Empty: not told."))}
            {Of("seeded of-germinated", fields.Select("grass", Labels["grass"], Grass))}
            {Of("watered", Text("water", "For example 0.5 in, or 20 min. Empty: not told."))}
            {Of(
                "soil",
                Text("soil", "For example 61 F or 16 C, by a thermometer at 4 in (10 cm)."),
                Text("at", "Empty: now, when it is of today.", "type=\"time\"")
            )}
            <input type="hidden" name="once" value="{once()}">
            <p class="send"><button type="submit">Write it down</button></p>
            </form>
            <form method="post" action="/lawn/{token}/say">
            {Text(
                Line,
                "Or so, as in an answer: mowed 2 in yesterday; skip; pause until jan 10.",
                "required maxlength=\"200\" autocomplete=\"off\""
            )}
            <input type="hidden" name="once" value="{once()}">
            <p class="send"><button class="plain" type="submit">Send these words</button></p>
            </form>
            <details><summary>What can be said, and how</summary>{LawnView.HowToSay}</details>
            """;

        string Text(
            string name,
            string hint,
            string attributes = "autocomplete=\"off\" maxlength=\"80\""
        ) => fields.Text(name, Labels[name], hint, attributes);

        // The style sheet leaves out what does not belong to the kind that is chosen.
        static string Of(string kinds, params string[] those) =>
            $"<div class=\"of-{kinds}\">{string.Concat(those)}</div>";
    }

    // In words that an answer is understood by.
    private static IEnumerable<(string, string)> Grass =>
        [
            ("", "Not told"),
            .. Grasses.All.Select(g =>
                (Commands.Words.Kebab(g.Kind.ToString()).Replace('-', ' '), g.Name)
            ),
        ];
}
