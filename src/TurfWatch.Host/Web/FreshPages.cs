using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>
/// A link to a lawn's page is good for a week, and messages are passed on with the links in them. What changes the
/// settings or shows or erases all that is held therefore needs a link that was mailed within the last two hours; the
/// page has one sent, to the owner's address alone.
/// </summary>
internal static class FreshPages
{
    private const int LettersADay = 10;

    private static readonly Duration Pause = Duration.FromMinutes(10);
    private static readonly Duration Patience = Duration.FromHours(2);

    public static void MapFresh(this IEndpointRouteBuilder routes) =>
        routes.MapPost("/lawn/{token}/fresh", Send).DisableAntiforgery();

    /// <summary>Opens a route to a fresh link alone; any other that is good is told how to get one.</summary>
    public static void NeedsFreshLink(this RouteHandlerBuilder route) =>
        route.AddEndpointFilter(
            static async (context, next) =>
            {
                var http = context.HttpContext;
                var token = http.GetRouteValue("token") as string ?? "";
                var tokens = http.RequestServices.GetRequiredService<LinkTokens>();
                var now = LawnPages.Now(http.RequestServices.GetRequiredService<TimeProvider>());
                return
                    tokens.TryRead(LinkPurpose.LawnPage, token, now, out var id, out var expires)
                    && !IsFresh(expires - now)
                    && await http
                        .RequestServices.GetRequiredService<TurfStore>()
                        .Lawns.FindAsync(id, http.RequestAborted)
                        is not null
                    ? Needed(token)
                    : await next(context);
            }
        );

    // A link without an end was mailed by nobody.
    private static bool IsFresh(Duration left)
    {
        var life = LinkPaths.Lifetime(LinkPurpose.LawnPage);
        return left > life - LinkPaths.Fresh && left <= life;
    }

    /// <summary>Asks for a fresh link instead of what an older one does not open.</summary>
    private static IResult Needed(string token) =>
        Page.Show(
            StatusCodes.Status403Forbidden,
            "This needs a fresh link",
            $"""
            <p>Nothing has changed. To change settings, or to see or erase all that is held, a link is needed that was mailed within the last two hours: an older one may have been passed on with its message.</p>
            <form method="post" action="/lawn/{Page.Encode(
                token
            )}/fresh"><button type="submit">Mail me a fresh link</button></form>
            <p class="soft">It goes to the address that the lawn's messages go to. Answering any message with: settings, does the same.</p>
            <p><a href="/lawn/{Page.Encode(token)}">Back to the lawn's page</a></p>
            """
        );

    private static async Task<IResult> Send(LawnLink link, MessageComposer composer)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return Page.NotFound();
        }

        var (token, _, _, store, now, cancel) = link;

        var sent = await store.Outbox.CountSinceAsync(
            owned.Subscriber.Id,
            MessageKind.Receipt,
            now - Duration.FromHours(24),
            cancel
        );
        if (sent < LettersADay)
        {
            // One in ten minutes: the key says which ten, and a row of it is there once.
            await store.Outbox.EnqueueAsync(
                [
                    composer.Compose(
                        Letter(owned.Lawn, now),
                        owned.Subscriber.Id,
                        owned.Subscriber.Email,
                        $"fresh:{owned.Lawn.Id}:{now.ToUnixTimeSeconds() / (long)Pause.TotalSeconds}",
                        now,
                        now + Patience
                    ),
                ],
                cancel
            );
        }

        return Page.Told(
            "Now look into the mailbox",
            [
                "A letter with a fresh link is on its way to the address that the lawn's messages go to. For two hours it opens everything.",
                "One letter in ten minutes is sent, and no more than ten a day.",
            ],
            ($"/lawn/{token}", "Back to the lawn's page")
        );
    }

    private static Notice Letter(Lawn lawn, Instant now) =>
        new()
        {
            Kind = MessageKind.Receipt,
            MadeAt = now,
            Zone = lawn.Place.Zone,
            Units = lawn.Units,
            LawnId = lawn.Id,
            Subject = Phrase.Of($"A fresh link to your lawn's page"),
            Paragraphs =
            [
                Phrase.Of(
                    $"Someone who has an older link to the page of {lawn.Name} asked for a fresh one. For two hours it opens everything, settings and erasing too; after that, for a week, the page alone."
                ),
                Phrase.Of(
                    $"If that was not you, do nothing: nothing has changed. Do not pass this letter on."
                ),
            ],
            Links = [new(Phrase.Of($"See your lawn's page"), LinkPurpose.LawnPage, lawn.Id)],
        };
}
