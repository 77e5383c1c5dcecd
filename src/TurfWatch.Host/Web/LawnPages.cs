using System.Globalization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>
/// The lawn's page, behind a mailed link that is good for a week (what it does not open after two hours: see <see cref="FreshPages"/>): how the lawn stands, what was done to it, and a
/// form for more of it (<see cref="NewLine"/>). Each form does one deed, once, and it can be taken back.
/// </summary>
internal static class LawnPages
{
    private static readonly Duration UndoWithin = LinkPaths.Lifetime(LinkPurpose.Undo);

    public static void MapLawn(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/lawn/{token}", PageRoutes.Looking, Look);
        routes.MapPost("/lawn/{token}/say", Say).DisableAntiforgery();
        routes.MapPost("/lawn/{token}/remove", Remove).DisableAntiforgery();
    }

    /// <summary>What makes a form's deed one deed, however often the form is sent.</summary>
    public static string Once(LinkTokens tokens, Instant now) =>
        tokens.Issue(
            LinkPurpose.LawnForm,
            Deed.DrawId(),
            now + LinkPaths.Lifetime(LinkPurpose.LawnPage)
        );

    /// <summary>Does a form's deed and says so, with the way to take it back.</summary>
    public static async Task<IResult> Do(
        Deed deed,
        IEnumerable<string> said,
        string token,
        LinkTokens tokens,
        TurfStore store,
        Instant now
    )
    {
        var home = ($"/lawn/{token}", "Back to the lawn's page");
        // Only whoever did it gets the link to undo it: a form's number may have been used by another.
        return await store.Deeds.DoAsync(deed, CancellationToken.None)
            ? Page.Told(
                "Done",
                said,
                (
                    $"/undo/{tokens.Issue(LinkPurpose.Undo, deed.Id, now + UndoWithin)}",
                    "Take this back"
                ),
                home
            )
            : Page.Told(
                "Done before",
                ["This form was sent before; nothing was done twice."],
                home
            );
    }

    public static IResult OldForm(string token) =>
        Page.Show(
            StatusCodes.Status400BadRequest,
            "Nothing was done",
            $"<p role=\"alert\">The form was not whole, or too old. <a href=\"/lawn/{Page.Encode(token)}\">Open the lawn's page again</a> and send it from there.</p>"
        );

    private static async Task<IResult> Look(LawnLink link, LawnToday today, Throttle throttle)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return Page.NotFound();
        }

        var (token, context, tokens, _, now, cancel) = link;
        return throttle.Allows(owned.Lawn.Id)
            ? Page.Show(
                StatusCodes.Status200OK,
                owned.Lawn.Name,
                LawnView.Of(
                    owned,
                    await today.YearAsync(owned.Lawn, cancel),
                    token,
                    tokens,
                    () => Once(tokens, now)
                )
            )
            : Throttle.TooMany(context);
    }

    private static async Task<IResult> Say(LawnLink link, LawnToday today)
    {
        var (form, refused) = await LawnForm.ReadAsync(link);
        if (form is null)
        {
            return refused!;
        }

        var (token, _, tokens, store, _, cancel) = link;
        var (owned, typed, id, now) = form;
        var line = typed.GetValueOrDefault("line", "");
        if (typed.GetValueOrDefault("until", "") is { Length: > 0 } until)
        {
            // A form's date, or nothing that could be taken for a pause without an end.
            line = LocalDatePattern.Iso.Parse(until).Success
                ? $"pause until {until}"
                : $"\"{until}\" as a day";
        }

        var local = form.Local;
        var answers = AnswerReader.Read([line], local, owned.Lawn.Units);
        var advised = answers.Any(a => a is Did { AsAdvised: true })
            ? await today.FeedingAsync(owned.Lawn, cancel)
            : null;
        var effect = AnswerEffect.Of(answers, owned.Lawn, local.Date, advised);
        var say = new PhraseText(owned.Lawn, local.Date);
        var home = ($"/lawn/{token}", "Back to the lawn's page");
        if (effect.Leaves || effect.Undoes)
        {
            return await Elsewhere(effect, owned, tokens, store, now, home, cancel);
        }

        return effect.Does
            ? await Do(
                effect.DeedFor(id, owned),
                [
                    .. effect.Understood.Select(say.Of),
                    .. effect.NotUnderstood.Select(p => $"Not understood: {say.Of(p)}"),
                ],
                token,
                tokens,
                store,
                now
            )
            : NewLine.NotSaid(token, form, effect.NotUnderstood.Select(say.Of), tokens);
    }

    /// <summary>What has a page with a button of its own.</summary>
    private static async Task<IResult> Elsewhere(
        AnswerEffect effect,
        OwnedLawn owned,
        LinkTokens tokens,
        TurfStore store,
        Instant now,
        (string, string) home,
        CancellationToken cancel
    )
    {
        if (effect.Leaves)
        {
            return Page.Told(
                "Nothing was done yet",
                [],
                (LawnView.LeaveLink(owned, tokens), "Stop all messages"),
                home
            );
        }

        return
            await store.Deeds.LastAsync(owned.Subscriber.Id, now - UndoWithin, cancel) is { } last
            ? Page.Told(
                "Nothing was done yet",
                [],
                (
                    $"/undo/{tokens.Issue(LinkPurpose.Undo, last, now + UndoWithin)}",
                    "Take back what was done last"
                ),
                home
            )
            : Page.Told("There is nothing of the last two weeks to take back", [], home);
    }

    private static async Task<IResult> Remove(LawnLink link)
    {
        var (form, refused) = await LawnForm.ReadAsync(link);
        if (form is null)
        {
            return refused!;
        }

        var (token, _, tokens, store, _, cancel) = link;
        var (owned, typed, id, now) = form;
        if (
            !long.TryParse(
                typed.GetValueOrDefault("entry", ""),
                NumberStyles.None,
                CultureInfo.InvariantCulture,
                out var entryId
            )
        )
        {
            return OldForm(token);
        }

        var record = await store.Journal.LoadAsync(owned.Lawn.Id, cancel);
        return record.Entries.FirstOrDefault(e => e.Id == entryId) is { } entry
            ? await Do(
                new()
                {
                    Id = id,
                    SubscriberId = owned.Subscriber.Id,
                    LawnId = owned.Lawn.Id,
                    Removes = [entryId],
                },
                [
                    $"Taken out of the journal: {new PhraseText(owned.Lawn, form.Local.Date).Of(JournalOf.InWords(entry))}",
                ],
                token,
                tokens,
                store,
                now
            )
            : NoSuchLine(token);
    }

    public static IResult NoSuchLine(string token) =>
        Page.Told(
            "It is not in the journal any more",
            [],
            ($"/lawn/{token}", "Back to the lawn's page")
        );

    public static Instant Now(TimeProvider clock) => Instant.FromDateTimeOffset(clock.GetUtcNow());
}
