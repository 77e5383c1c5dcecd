using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>
/// The link at the foot of each message. Looking at it changes nothing (mail scanners follow links);
/// a POST takes the address off the list, at once and as often as it is sent (RFC 8058): no cookie,
/// no redirect, whatever the body.
/// </summary>
internal static partial class UnsubscribePages
{
    private const string Purpose = "unsubscribe";

    public static void MapUnsubscribe(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods(
            "/u/{token}",
            [HttpMethods.Get, HttpMethods.Head],
            (string token, LinkTokens tokens) =>
                tokens.TryRead(Purpose, token, out _) ? Page.AskToLeave(token) : Page.NotFound()
        );
        routes.MapPost("/u/{token}", Leave).DisableAntiforgery();
    }

    private static async Task<IResult> Leave(
        string token,
        LinkTokens tokens,
        TurfStore store,
        HttpContext context,
        ILoggerFactory logs
    )
    {
        if (!tokens.TryRead(Purpose, token, out var subscriberId))
        {
            return Page.NotFound();
        }

        try
        {
            // Not bound to the request: a client that hangs up has still asked to leave.
            await store.Subscribers.SetStatusAsync(
                subscriberId,
                SubscriberStatus.Left,
                "by link",
                CancellationToken.None
            );
        }
        catch (StoreException e)
        {
            NotSaved(logs.CreateLogger(typeof(UnsubscribePages)), subscriberId, e.Message);
            return Page.TryLater(context);
        }

        Left(logs.CreateLogger(typeof(UnsubscribePages)), subscriberId);
        return Page.HasLeft();
    }

    [LoggerMessage(LogLevel.Information, "Subscriber {Id} left by link")]
    private static partial void Left(ILogger log, long id);

    [LoggerMessage(LogLevel.Error, "Subscriber {Id} asked to leave, but it cannot be saved: {Why}")]
    private static partial void NotSaved(ILogger log, long id, string why);
}
