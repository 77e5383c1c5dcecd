using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Join;

/// <summary>What became of a request to join, as far as whoever asked may know: nothing of the address.</summary>
internal enum JoinOutcome
{
    /// <summary>If the address may be written to, a message is on its way to it.</summary>
    Taken,

    /// <summary>Nobody may join here.</summary>
    Closed,

    /// <summary>Too many requests; later.</summary>
    TooMany,
}

/// <summary>
/// The one way onto the list, whatever the door: asked, then confirmed from the address itself. The same limits hold
/// at every door, and the answer is the same whether or not the address is known.
/// </summary>
internal sealed partial class JoinDesk(
    TurfStore store,
    MessageComposer composer,
    LinkTokens tokens,
    JoinOptions options,
    TimeProvider clock,
    ILogger<JoinDesk> log
)
{
    /// <summary>Name of the mail door among the networks.</summary>
    public const string ByMail = "mail";

    private const int PerAddressHour = 1;
    private const int PerAddressDay = 3;
    private const int PerAddressEver = 5;

    // Confirmations and receipts are of no use much later.
    private static readonly Duration Patience = Duration.FromHours(24);

    /// <summary>Whether letters can be answered; where nobody reads answers, none is asked for.</summary>
    public bool TakesAnswers => composer.TakesAnswers;

    /// <summary>Takes a request; a lawn that is null asks back for the ZIP code.</summary>
    /// <param name="email">An address as <see cref="AddressRule"/> gives it.</param>
    /// <param name="lawn">The lawn; null when its place was not understood.</param>
    /// <param name="network">Where the request came from, for the limits.</param>
    /// <param name="inReplyTo">Message-ID of the request, when it came by mail.</param>
    /// <param name="invited">The operator asks, not a stranger: the doors may be closed.</param>
    public async Task<JoinOutcome> AskAsync(
        string email,
        Lawn? lawn,
        string network,
        string? inReplyTo,
        CancellationToken cancel,
        bool invited = false
    )
    {
        if (!invited && (!options.Open || !options.Admits(email)))
        {
            ServiceMeter.SignUp("closed");
            return JoinOutcome.Closed;
        }

        var hash = HashOf(AddressRule.WithoutTag(email));
        var counts = await store.Joins.CountAsync(hash, network, cancel);
        if (
            !invited
            && (counts.NetworkHour >= Network(network) || counts.AllHour >= options.PerHour)
        )
        {
            ServiceMeter.SignUp("limited");
            Limited(log, network);
            return JoinOutcome.TooMany;
        }

        // Whoever was asked back for the ZIP code answers at once: that letter was no request to confirm.
        var askedBack =
            lawn is not null
            && await store.Subscribers.FindAsync(email, cancel)
                is { Subscriber.Status: SubscriberStatus.Pending, Lawns.IsEmpty: true };
        if (
            counts.AddressHour >= PerAddressHour + (askedBack ? 1 : 0)
            || counts.AddressDay >= PerAddressDay
            || counts.AddressEver >= PerAddressEver
            || await store.Suppressions.HoldsAsync(HashOf(email), cancel)
        )
        {
            // Whoever asks learns nothing: not that the address is known, nor that it has asked before.
            await store.Joins.RecordAsync(hash, network, null, cancel);
            ServiceMeter.SignUp("silent");
            return JoinOutcome.Taken;
        }

        var (standing, who) = await store.Joins.AskAsync(email, lawn, cancel);
        var message = who is null ? null : Letter(standing, who, lawn is null, inReplyTo);
        await store.Joins.RecordAsync(hash, network, message, cancel);
        ServiceMeter.SignUp("asked");
        Asked(log, standing, who?.Subscriber.Id ?? 0);
        return JoinOutcome.Taken;
    }

    /// <summary>Confirms; false when there is nothing to confirm (any more).</summary>
    public async Task<bool> ConfirmAsync(
        long subscriberId,
        string? inReplyTo,
        CancellationToken cancel
    )
    {
        if (await store.Subscribers.OfAsync(subscriberId, cancel) is not { } who)
        {
            return false;
        }

        var welcome = who.Lawns.IsEmpty
            ? null
            : Compose(JoinLetters.Welcome(who, Now(), inReplyTo, TakesAnswers), who, "welcome");
        var confirmed =
            welcome is not null
            && await store.Joins.ConfirmAsync(
                subscriberId,
                HashOf(AddressRule.WithoutTag(who.Subscriber.Email)),
                [welcome],
                cancel
            );
        if (confirmed)
        {
            ServiceMeter.SignUp("confirmed");
        }

        return confirmed;
    }

    /// <summary>The keyed hash under which an address may be remembered when it must not be kept.</summary>
    public ReadOnlyMemory<byte> HashOf(string email) =>
        Convert.FromHexString(tokens.AddressHash(email));

    private OutboxMessage Letter(
        JoinStanding standing,
        SubscriberLawns who,
        bool zipMissing,
        string? inReplyTo
    )
    {
        var now = Now();
        var notice = (standing, zipMissing) switch
        {
            (JoinStanding.Active, _) => JoinLetters.OnTheListAlready(
                who,
                now,
                inReplyTo,
                TakesAnswers
            ),
            (_, true) => JoinLetters.WhichZip(now, inReplyTo),
            _ => JoinLetters.PleaseConfirm(who, now, TakesAnswers),
        };
        return Compose(notice, who, $"join:{now.ToUnixTimeSeconds()}");
    }

    private OutboxMessage Compose(Notice notice, SubscriberLawns who, string key) =>
        composer.Compose(
            notice,
            who.Subscriber.Id,
            who.Subscriber.Email,
            $"{key}:{notice.MadeAt.ToUnixTimeSeconds()}",
            notice.MadeAt,
            notice.MadeAt + Patience
        );

    private int Network(string network) =>
        network == ByMail ? options.PerHour : options.PerNetworkHour;

    private Instant Now() => Instant.FromDateTimeOffset(clock.GetUtcNow());

    [LoggerMessage(LogLevel.Information, "A request to join: {Standing}, subscriber {Id}")]
    private static partial void Asked(ILogger log, JoinStanding standing, long id);

    [LoggerMessage(LogLevel.Warning, "Requests to join are over the limit ({Network})")]
    private static partial void Limited(ILogger log, string network);
}
