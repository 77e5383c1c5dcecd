using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Join;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>The links of letters: confirm, undo, come back. Looking changes nothing; one button does it, however often.</summary>
internal static partial class LinkPages
{
    private const string Nothing = "Nothing has changed yet.";

    public static void MapLinks(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/join/{token}", PageRoutes.Looking, AskToConfirm);
        routes.MapPost("/join/{token}", Confirm).DisableAntiforgery();
        routes.MapMethods("/undo/{token}", PageRoutes.Looking, AskToUndo);
        routes.MapPost("/undo/{token}", Undo).DisableAntiforgery();
        routes.MapMethods("/rejoin/{token}", PageRoutes.Looking, AskToRejoin);
        routes.MapPost("/rejoin/{token}", Rejoin).DisableAntiforgery();
    }

    private static async Task<IResult> AskToConfirm(
        string token,
        LinkTokens tokens,
        TurfStore store,
        JoinDesk joins,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (!tokens.TryRead(LinkPurpose.Confirm, token, Now(clock), out var id))
        {
            return Page.NotFound();
        }

        return (await store.Subscribers.OfAsync(id, cancel))?.Subscriber.Status switch
        {
            SubscriberStatus.Active => OnTheList(joins),
            SubscriberStatus.Pending => Page.Ask(
                "One more step: you are not on the list yet",
                [
                    "Press the button, and the address that this link was mailed to gets the lawn messages: one each morning, and word of the season as it turns. Each has a link to stop them.",
                    "If you did not ask for this, close the page: nothing is sent.",
                ],
                token,
                "Yes, send me the lawn messages"
            ),
            _ => Page.NotFound(),
        };
    }

    private static async Task<IResult> Confirm(
        string token,
        LinkTokens tokens,
        TurfStore store,
        JoinDesk joins,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (!tokens.TryRead(LinkPurpose.Confirm, token, Now(clock), out var id))
        {
            return Page.NotFound();
        }

        await joins.ConfirmAsync(id, null, cancel);
        return
            (await store.Subscribers.OfAsync(id, cancel))?.Subscriber.Status
            == SubscriberStatus.Active
            ? OnTheList(joins)
            : Page.NotFound();
    }

    private static IResult AskToUndo(string token, LinkTokens tokens, TimeProvider clock) =>
        tokens.TryRead(LinkPurpose.Undo, token, Now(clock), out _)
            ? Page.Ask(
                "Take this back?",
                [
                    $"{Nothing} Press the button, and what the message with this link told of is undone: lines written into the journal are taken out, settings and pauses are as they were before.",
                ],
                token,
                "Take it back"
            )
            : Page.NotFound();

    private static async Task<IResult> Undo(
        string token,
        LinkTokens tokens,
        TurfStore store,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (!tokens.TryRead(LinkPurpose.Undo, token, Now(clock), out var id))
        {
            return Page.NotFound();
        }

        await store.Deeds.UndoAsync(id, cancel);
        return Page.Told("Taken back", ["It is undone; the next message reckons without it."]);
    }

    private static async Task<IResult> AskToRejoin(
        string token,
        LinkTokens tokens,
        TurfStore store,
        JoinDesk joins,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (!tokens.TryRead(LinkPurpose.Rejoin, token, Now(clock), out var id))
        {
            return Page.NotFound();
        }

        return (await store.Subscribers.OfAsync(id, cancel))?.Subscriber.Status switch
        {
            SubscriberStatus.Active => OnTheList(joins),
            SubscriberStatus.Left => Page.Ask(
                "Come back to the list?",
                [
                    $"{Nothing} Press the button, and the address that this link was mailed to gets the lawn messages again, with lawn and journal as they were.",
                ],
                token,
                "Put me back on the list"
            ),
            _ => Page.NotFound(),
        };
    }

    private static async Task<IResult> Rejoin(
        string token,
        LinkTokens tokens,
        TurfStore store,
        JoinDesk joins,
        TimeProvider clock,
        ILoggerFactory logs,
        CancellationToken cancel
    )
    {
        if (!tokens.TryRead(LinkPurpose.Rejoin, token, Now(clock), out var id))
        {
            return Page.NotFound();
        }

        if (await store.Subscribers.RejoinAsync(id, "came back by link", cancel))
        {
            Back(logs.CreateLogger(typeof(LinkPages)), id);
        }

        return
            (await store.Subscribers.OfAsync(id, cancel))?.Subscriber.Status
            == SubscriberStatus.Active
            ? OnTheList(joins)
            : Page.NotFound();
    }

    private static IResult OnTheList(JoinDesk joins) =>
        Page.Told(
            "You are on the list",
            [
                $"The lawn messages are sent to the address that this link was mailed to. {(
                    joins.TakesAnswers
                        ? "Answer any of them to say what you did or to change a setting"
                        : "The letter that welcomes links to your lawn's page, where you say what you did and change settings"
                )}; each ends with a link to stop them.",
            ]
        );

    private static Instant Now(TimeProvider clock) => Instant.FromDateTimeOffset(clock.GetUtcNow());

    [LoggerMessage(LogLevel.Information, "Subscriber {Id} came back by link")]
    private static partial void Back(ILogger log, long id);
}
