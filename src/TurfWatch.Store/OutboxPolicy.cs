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
        kind is MessageKind.Alert or MessageKind.Test;

    /// <summary>The kinds as an SQL list; a test holds it to <see cref="ResendsUnknown"/>.</summary>
    internal static string ResentKinds { get; } =
        string.Join(
            ", ",
            Enum.GetValues<MessageKind>().Where(ResendsUnknown).Select(kind => $"'{kind}'")
        );
}
