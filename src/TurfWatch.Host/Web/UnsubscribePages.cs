using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Join;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>
/// The link at the foot of each message. Looking at it changes nothing (mail scanners follow links);
/// a POST takes the address off the list, at once and as often as it is sent (RFC 8058): no cookie,
/// no redirect, whatever the body. A goodbye with a way back goes to the address.
/// </summary>
internal static partial class UnsubscribePages
{
    private static readonly Duration GoodbyeGoodFor = Duration.FromHours(24);

    public static void MapUnsubscribe(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods(
            "/u/{token}",
            PageRoutes.Looking,
            (string token, LinkTokens tokens) =>
                tokens.TryRead(MessageComposer.UnsubscribePurpose, token, out _)
                    ? Page.Ask(
                        "Stop the lawn messages?",
                        [
                            "Nothing has changed yet. Press the button and no more messages are sent to the address that this link was mailed to.",
                        ],
                        token,
                        "Stop the messages"
                    )
                    : Page.NotFound()
        );
        routes.MapPost("/u/{token}", Leave).DisableAntiforgery();
    }

    private static async Task<IResult> Leave(
        string token,
        LinkTokens tokens,
        TurfStore store,
        JoinDesk joins,
        MessageComposer composer,
        TimeProvider clock,
        ILoggerFactory logs
    )
    {
        if (!tokens.TryRead(MessageComposer.UnsubscribePurpose, token, out var subscriberId))
        {
            return Page.NotFound();
        }

        // Not bound to the request: a client that hangs up has still asked to leave.
        var who = await store.Subscribers.OfAsync(subscriberId, CancellationToken.None);
        if (who?.Subscriber.Status == SubscriberStatus.Pending)
        {
            // The foot of a request to confirm reads: never write to this address again.
            await store.Suppressions.AddAsync(
                joins.HashOf(who.Subscriber.Email),
                "asked to be left alone before confirming",
                CancellationToken.None
            );
        }

        if (who?.Subscriber.Status is SubscriberStatus.Active or SubscriberStatus.Pending)
        {
            await LeaveAsync(who, store, composer, Now(clock));
            ServiceMeter.Left("link");
            Left(logs.CreateLogger(typeof(UnsubscribePages)), subscriberId);
        }

        return Page.Told(
            "You will get no more messages",
            [
                "The address that this link was mailed to is off the list. A message that was already on its way may still arrive.",
                "Whoever was on the list gets a short goodbye with a link that brings everything back, in case this was a mistake.",
            ]
        );
    }

    private static Task<bool> LeaveAsync(
        SubscriberLawns who,
        TurfStore store,
        MessageComposer composer,
        Instant now
    )
    {
        var (subscriber, lawns) = who;
        var deedId = Deed.DrawId();
        return store.Deeds.DoAsync(
            new()
            {
                Id = deedId,
                SubscriberId = subscriber.Id,
                Status = SubscriberStatus.Left,
                Reason = "by link",
                Messages =
                    subscriber.Status == SubscriberStatus.Pending
                        ? []
                        :
                        [
                            composer.Compose(
                                AnswerLetters.Goodbye(
                                    subscriber,
                                    lawns.IsEmpty ? null : lawns[0],
                                    now
                                ),
                                subscriber.Id,
                                subscriber.Email,
                                $"goodbye:{deedId}",
                                now,
                                now + GoodbyeGoodFor
                            ),
                        ],
            },
            CancellationToken.None
        );
    }

    private static Instant Now(TimeProvider clock) => Instant.FromDateTimeOffset(clock.GetUtcNow());

    [LoggerMessage(LogLevel.Information, "Subscriber {Id} left by link")]
    private static partial void Left(ILogger log, long id);
}
