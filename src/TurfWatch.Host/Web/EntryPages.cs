using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>A line of the journal, corrected in place: the old line goes and the new one comes in one deed, which can be taken back.</summary>
internal static class EntryPages
{
    private static readonly Dictionary<string, string> Labels = new(StringComparer.Ordinal)
    {
        ["kind"] = "What was done",
        ["amount"] = "How much",
        ["day"] = "Day",
    };

    public static void MapEntries(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/lawn/{token}/entry/{entry:long}", PageRoutes.Looking, Look);
        routes.MapPost("/lawn/{token}/entry/{entry:long}", Change).DisableAntiforgery();
    }

    private static async Task<IResult> Look(LawnLink link, long entry)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return Page.NotFound();
        }

        var (token, _, tokens, store, now, cancel) = link;
        return await LineAsync(store, owned.Lawn.Id, entry, cancel) is { } old
            ? Form(token, old, owned, Shown(old, owned.Lawn), [], LawnPages.Once(tokens, now), now)
            : LawnPages.NoSuchLine(token);
    }

    private static async Task<IResult> Change(LawnLink link, long entry, LawnToday today)
    {
        var (form, refused) = await LawnForm.ReadAsync(link);
        if (form is null)
        {
            return refused!;
        }

        var (token, _, tokens, store, _, cancel) = link;
        var (owned, typed, id, now) = form;
        if (await LineAsync(store, owned.Lawn.Id, entry, cancel) is not { } old)
        {
            return LawnPages.NoSuchLine(token);
        }

        var values = Labels.Keys.ToDictionary(
            n => n,
            n => typed.GetValueOrDefault(n, "").Trim(),
            StringComparer.Ordinal
        );
        if (values.SequenceEqual(Shown(old, owned.Lawn)))
        {
            return Page.Told("Nothing was changed", ["The line is as it was."], link.Home);
        }

        var local = form.Local;
        var faults = new List<string>();
        var effect = await ReadAsync(old, owned, values, local, faults, today, cancel);
        if (effect is null)
        {
            return Form(token, old, owned, values, faults, LawnPages.Once(tokens, now), now);
        }

        var say = new PhraseText(owned.Lawn, local.Date);
        return await LawnPages.Do(
            effect.DeedFor(id, owned) with
            {
                Removes = [old.Id],
            },
            [
                $"Before: {say.Of(JournalOf.InWords(old))}",
                .. effect.Understood.Select(p => $"Now: {say.Of(p)}"),
            ],
            token,
            tokens,
            store,
            now
        );
    }

    /// <summary>The corrected line, read by the rules of an answer; null when there are faults.</summary>
    private static async Task<AnswerEffect?> ReadAsync(
        JournalEntry old,
        OwnedLawn owned,
        Dictionary<string, string> values,
        LocalDateTime now,
        List<string> faults,
        LawnToday today,
        CancellationToken cancel
    )
    {
        var untouched =
            values["kind"] == EntryWords.Verb(old.Kind)
            && values["amount"] == EntryWords.Amount(old, owned.Lawn.Units);
        var kind = LineReader.Kind(values["kind"], faults);
        // A line older than answers may be stays where it is, as long as nothing else of it is changed.
        var day = LineReader.Day(
            values["day"],
            untouched ? old.Date : null,
            now,
            owned.Lawn.Units,
            faults
        );
        if (kind is not { } k || day is not { } date)
        {
            return null;
        }

        // What was not touched keeps its number to the last digit, and what it alone knows: phosphate, say.
        if (untouched)
        {
            var moved = old with { Id = 0, Date = date };
            return new() { Adds = [moved], Understood = [JournalOf.InWords(moved)] };
        }

        var effect = await LineReader.ReadAsync(
            k,
            values["amount"],
            date,
            "amount",
            "2.5 in, or: 5 lb 21-0-0",
            owned.Lawn,
            now,
            today,
            faults,
            cancel
        );
        // Another height of cut leaves what the ruler said.
        return effect is { Adds: [var line] } && line.Kind == old.Kind
            ? effect with
            {
                Adds = [line with { HeightBeforeCm = old.HeightBeforeCm }],
            }
            : effect;
    }

    private static async Task<JournalEntry?> LineAsync(
        TurfStore store,
        long lawnId,
        long entryId,
        CancellationToken cancel
    ) =>
        (await store.Journal.LoadAsync(lawnId, cancel)).Entries.FirstOrDefault(e =>
            e.Id == entryId
        );

    private static Dictionary<string, string> Shown(JournalEntry entry, Lawn lawn) =>
        new(StringComparer.Ordinal)
        {
            ["kind"] = EntryWords.Verb(entry.Kind),
            ["amount"] = EntryWords.Amount(entry, lawn.Units),
            ["day"] = entry.Date.ToString("uuuu-MM-dd", CultureInfo.InvariantCulture),
        };

    private static IResult Form(
        string token,
        JournalEntry old,
        OwnedLawn owned,
        Dictionary<string, string> values,
        List<string> faults,
        string once,
        Instant now
    )
    {
        var today = now.InZone(owned.Lawn.Place.Zone).Date;
        var say = new PhraseText(owned.Lawn, today);
        var fields = new Fields(
            values,
            Fields.ByField(faults, n => Labels.GetValueOrDefault(n, n))
        );
        return Page.Show(
            fields.Any ? StatusCodes.Status400BadRequest : StatusCodes.Status200OK,
            fields.Any ? "Not changed yet: a line of the journal" : "Correct a line of the journal",
            $"""
            {fields.Summary()}
            <p>Written down is: <strong>{Page.Encode(say.Of(JournalOf.InWords(old)))}</strong></p>
            <form method="post" action="/lawn/{Page.Encode(token)}/entry/{old.Id}">
            {fields.Select("kind", Labels["kind"], EntryWords.Kinds.Select(k => (k.Verb, k.Name)))}
            {fields.Text(
                "amount",
                Labels["amount"],
                "As in an answer: 2.5 in; 5 lb 21-0-0; 10 lb annual rye; 20 min or 0.5 in; 61 F at 7:30 am. Empty: not told.",
                "autocomplete=\"off\" maxlength=\"80\""
            )}
            {fields.Text(
                "day",
                Labels["day"],
                "",
                $"type=\"date\" required max=\"{today:uuuu-MM-dd}\""
            )}
            <input type="hidden" name="once" value="{once}">
            <p class="send"><button type="submit">Save the line</button></p>
            </form>
            <p><a href="/lawn/{Page.Encode(token)}">Back to the lawn's page</a></p>
            """
        );
    }
}
