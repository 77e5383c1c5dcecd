using System.Diagnostics;
using System.Diagnostics.Metrics;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Mail;

namespace TurfWatch.Host.Telemetry;

/// <summary>
/// What the service counts. Names and labels: docs/metrics.md. A label is a kind, a result, a door; never a person,
/// an address or a place.
/// </summary>
internal static class ServiceMeter
{
    public const string Name = "TurfWatch.Service";

    /// <summary>Kind of the messages that are settled many at a time, whatever their kind.</summary>
    private const string AnyKind = "any";

    private static readonly string[] Results =
    [
        "sent",
        "retried",
        "put-back",
        "expired",
        "missed",
        "suppressed",
        "dead",
        "unknown",
    ];

    private static readonly string[] ReplyClasses = ["2xx", "4xx", "5xx", "none", "down"];

    private static readonly string[] Doors = ["link", "mail", "page", "complaint"];

    private static readonly string[] SignUpResults =
    [
        "asked",
        "confirmed",
        "silent",
        "closed",
        "limited",
    ];

    private static readonly string[] InboundResults =
    [
        .. Enum.GetNames<InboundKind>().Select(Words.Kebab),
        "again",
        "defect",
    ];

    private static readonly Meter Meter = new(Name);

    private static readonly Counter<long> Made = Meter.CreateCounter<long>(
        "turfwatch.messages_made",
        description: "Messages written into the outbox by the morning and season sweeps."
    );

    private static readonly Counter<long> Messages = Meter.CreateCounter<long>(
        "turfwatch.messages",
        description: "What became of messages; sent, expired, suppressed, dead and unknown are final."
    );

    private static readonly Counter<long> Unknowns = Meter.CreateCounter<long>(
        "turfwatch.unknown",
        description: "Messages that the relay may or may not have taken."
    );

    private static readonly Counter<long> Replies = Meter.CreateCounter<long>(
        "turfwatch.smtp_replies",
        description: "How the relay answered attempts: 2xx, 4xx, 5xx, none (the connection broke), down (no attempt could begin)."
    );

    private static readonly Histogram<double> Latency = Meter.CreateHistogram(
        "turfwatch.send_latency",
        "s",
        "From the moment that a message is due until the relay has taken it.",
        tags: null,
        new InstrumentAdvice<double>
        {
            HistogramBucketBoundaries =
            [
                1,
                5,
                15,
                30,
                60,
                120,
                300,
                600,
                1200,
                1800,
                3600,
                7200,
                10800,
            ],
        }
    );

    private static readonly Counter<long> Unsubscribes = Meter.CreateCounter<long>(
        "turfwatch.unsubscribes",
        description: "Subscribers that left, by the way they took."
    );

    private static readonly Counter<long> SignUps = Meter.CreateCounter<long>(
        "turfwatch.signups",
        description: "Requests to join, and confirmations."
    );

    private static readonly Counter<long> Inbound = Meter.CreateCounter<long>(
        "turfwatch.inbound",
        description: "Messages read from the mailbox."
    );

    /// <summary>Makes every series stand at zero from the start: one that first appears at 1 has no rise to be seen.</summary>
    public static void StandAtZero()
    {
        foreach (var kind in Enum.GetValues<MessageKind>())
        {
            WasMade(kind, 0);
            foreach (var result in Results)
            {
                Became(Words.Kebab(kind.ToString()), result, 0);
            }
        }

        foreach (var result in Results)
        {
            Became(result, 0);
        }

        foreach (var reply in ReplyClasses)
        {
            Replied(reply, 0);
        }

        foreach (var door in Doors)
        {
            Left(door, 0);
        }

        foreach (var result in SignUpResults)
        {
            SignUp(result, 0);
        }

        foreach (var result in InboundResults)
        {
            Read(result, 0);
        }
    }

    /// <summary>Messages that a sweep wrote into the outbox.</summary>
    public static void WasMade(MessageKind kind, int count) =>
        Made.Add(count, new KeyValuePair<string, object?>("kind", Words.Kebab(kind.ToString())));

    /// <summary>An attempt ended.</summary>
    /// <param name="message">The message.</param>
    /// <param name="outcome">How.</param>
    /// <param name="sinceDue">How long after it was due.</param>
    public static void Attempted(OutboxMessage message, SendOutcome outcome, TimeSpan sinceDue)
    {
        var (result, reply) = outcome switch
        {
            SendOutcome.Accepted => ("sent", "2xx"),
            SendOutcome.Temporary t => ("retried", t.Reply.StartsWith('4') ? "4xx" : "none"),
            SendOutcome.Permanent p => ("dead", p.Reply.StartsWith('5') ? "5xx" : "none"),
            SendOutcome.RelayDown => ("put-back", "down"),
            _ => ("unknown", "none"),
        };
        Replied(reply, 1);
        Became(message.Kind, result);
        if (outcome is SendOutcome.Accepted)
        {
            Latency.Record(
                Math.Max(0, sinceDue.TotalSeconds),
                new KeyValuePair<string, object?>("kind", Words.Kebab(message.Kind.ToString()))
            );
        }
    }

    /// <summary>A message came to an end, or was put back.</summary>
    public static void Became(MessageKind kind, string result) =>
        Became(Words.Kebab(kind.ToString()), result, 1);

    /// <summary>Messages came to an end many at a time.</summary>
    public static void Became(string result, int count) => Became(AnyKind, result, count);

    /// <param name="door"><c>link</c>, <c>mail</c>, <c>page</c> or <c>complaint</c>.</param>
    /// <param name="count">How many.</param>
    public static void Left(string door, int count = 1) =>
        Unsubscribes.Add(count, new KeyValuePair<string, object?>("door", door));

    /// <param name="result"><c>asked</c>, <c>confirmed</c>, <c>closed</c>, <c>limited</c>, or <c>silent</c> for a request that nothing is sent to.</param>
    /// <param name="count">How many.</param>
    public static void SignUp(string result, int count = 1) =>
        SignUps.Add(count, new KeyValuePair<string, object?>("result", result));

    /// <param name="result">The kind of message, <c>again</c> for one that was dealt with before, <c>defect</c> for one that could not be dealt with.</param>
    /// <param name="count">How many.</param>
    public static void Read(string result, int count = 1) =>
        Inbound.Add(count, new KeyValuePair<string, object?>("result", result));

    private static void Replied(string reply, int count) =>
        Replies.Add(count, new KeyValuePair<string, object?>("class", reply));

    private static void Became(string kind, string result, int count)
    {
        Messages.Add(count, new TagList { { "kind", kind }, { "result", result } });
        if (result == "unknown")
        {
            Unknowns.Add(count);
        }
    }
}
