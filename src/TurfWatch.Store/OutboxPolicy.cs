using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// What happens to a message of which nobody can tell whether the relay took it. One morning message too few
/// annoys less than two, and tomorrow's comes; an alert or a trial that never came is worse than a
/// second copy, which carries the same Message-ID.
/// </summary>
public static class OutboxPolicy
{
    /// <summary>Whether the kind is sent once more after an unknown end. Never a third time.</summary>
    public static bool ResendsUnknown(MessageKind kind) =>
        kind
            is MessageKind.Alert
                or MessageKind.Test
                or MessageKind.Confirmation
                or MessageKind.Receipt;

    /// <summary>The kinds as an SQL list; a test holds it to <see cref="ResendsUnknown"/>.</summary>
    internal static string ResentKinds { get; } =
        string.Join(
            ", ",
            Enum.GetValues<MessageKind>().Where(ResendsUnknown).Select(kind => $"'{kind}'")
        );

    /// <summary>
    /// SQL: whether the subscriber of an outbox row may receive it. List mail goes to active subscribers only; the
    /// request to confirm to those who asked to join; a receipt also to those who left, and to nobody whose mailbox
    /// refuses mail.
    /// </summary>
    /// <param name="kind">SQL of the row's kind.</param>
    /// <param name="subscriber">SQL of the row's subscriber.</param>
    /// <param name="subscribers">Where ids and statuses of subscribers are read.</param>
    internal static string MayReceive(
        string kind,
        string subscriber,
        string subscribers = "subscriber"
    ) =>
        $"""
            EXISTS (SELECT 1 FROM {subscribers} AS s WHERE s.id = {subscriber} AND (
                s.status = 'Active'
                OR ({kind} = 'Confirmation' AND s.status = 'Pending')
                OR ({kind} = 'Receipt' AND s.status <> 'Suppressed')))
            """;
}
