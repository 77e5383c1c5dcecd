using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Testing;

namespace TurfWatch.Faults.Judging;

/// <summary>
/// Joins what was owed, the database and the relay's ledger, and says which promise was broken:
/// I1 no loss, I2 no duplicate, I3 nothing of someone else's, I4 nothing begun for who left, I5 inside the window,
/// I6 recovered by itself in time, I7 no more tries than allowed, I8 no address and no secret in the logs.
/// </summary>
internal static partial class Judge
{
    /// <summary>Between the program's last check and the relay's note of MAIL lie a connection and a login.</summary>
    private static readonly Duration BeginSlack = Duration.FromSeconds(5);

    /// <summary>A transaction under way when the leaving was committed may end, but not later than this.</summary>
    private static readonly Duration UnderWay = Duration.FromSeconds(60);

    public static Verdict Weigh(Evidence evidence)
    {
        var breaches = new List<string>();
        var rows = evidence.Rows.ToLookup(r => (r.SubscriberId, r.Kind, r.Key));
        var copies = evidence.Ledger.ToLookup(l => l.MessageId, StringComparer.Ordinal);
        var (lost, duplicates, second) = (0, 0, 0);
        foreach (var owed in evidence.Owed)
        {
            var found = rows[(owed.SubscriberId, owed.Kind, owed.Key)].ToList();
            if (found.Count != 1)
            {
                lost++;
                breaches.Add($"I1 {Name(owed)}: {found.Count} rows");
                continue;
            }

            var row = found[0];
            var taken = row.MessageId.Length == 0 ? [] : copies[row.MessageId].ToList();
            if (Loss(owed, row, taken) is { } loss)
            {
                lost++;
                breaches.Add($"I1 {Name(owed)}: {loss}");
            }

            var (extra, permitted) = Copies(owed, row, taken, breaches);
            duplicates += extra;
            second += permitted;
            foreach (var line in taken)
            {
                Weigh(owed, row, line, evidence.ClockAhead, breaches);
            }
        }

        Strangers(evidence, breaches);
        Recovery(evidence, breaches);
        Logs(evidence, breaches);
        return new()
        {
            Rows = evidence.Owed.Count,
            Sent = evidence.Rows.Count(r => r.State == OutboxState.Sent),
            Duplicates = duplicates,
            SecondCopies = second,
            Lost = lost,
            Unknown = evidence.Rows.Count(r => r.State == OutboxState.Unknown),
            UnknownArrived = evidence.Rows.Count(r =>
                r.State == OutboxState.Unknown && copies.Contains(r.MessageId)
            ),
            Recovery = evidence.Recovery,
            Breaches = [.. breaches],
        };
    }

    private static string? Loss(Owed owed, OutboxMessage row, IReadOnlyList<LedgerLine> taken)
    {
        if (!owed.MayEnd.Contains(row.State))
        {
            return $"is {row.State} ({row.LastReply}), expected {string.Join(" or ", owed.MayEnd)}";
        }

        return row.State == OutboxState.Sent && taken.Count == 0
            ? "is Sent, but the relay never took it"
            : null;
    }

    private static (int Extra, int Permitted) Copies(
        Owed owed,
        OutboxMessage row,
        IReadOnlyList<LedgerLine> taken,
        List<string> breaches
    )
    {
        var resends = OutboxPolicy.ResendsUnknown(owed.Kind);
        var extra = Math.Max(0, taken.Count - (resends ? 2 : 1));
        if (extra > 0)
        {
            breaches.Add($"I2 {Name(owed)}: taken {taken.Count} times");
        }

        if (taken.Select(t => t.Sha256).Distinct(StringComparer.Ordinal).Count() > 1)
        {
            breaches.Add($"I2 {Name(owed)}: the copies differ");
        }

        // Of a message that may go out again, a first copy may have been taken before any end.
        var silent =
            row.State
            is OutboxState.Queued
                or OutboxState.Claimed
                or OutboxState.Expired
                or OutboxState.Suppressed
                or OutboxState.Dead;
        if (silent && taken.Count > 0 && !resends)
        {
            var promise = row.State == OutboxState.Suppressed ? "I4" : "I2";
            breaches.Add($"{promise} {Name(owed)}: is {row.State}, but the relay took it");
        }

        return (extra, taken.Count > 1 && resends ? 1 : 0);
    }

    private static void Weigh(
        Owed owed,
        OutboxMessage row,
        LedgerLine line,
        Func<Instant, Duration> clockAhead,
        List<string> breaches
    )
    {
        foreach (var canary in line.Canaries.Where(c => c != owed.Canary))
        {
            breaches.Add($"I3 {Name(owed)}: holds {canary}");
        }

        if (owed.Canary.Length > 0 && !line.Canaries.Contains(owed.Canary))
        {
            breaches.Add($"I3 {Name(owed)}: its own canary {owed.Canary} is missing");
        }

        if (line.Recipient != owed.Recipient || row.Recipient != owed.Recipient)
        {
            breaches.Add($"I3 {Name(owed)}: went to {line.Recipient}");
        }

        var begun = Instant.FromDateTimeOffset(line.BegunAt);
        begun += clockAhead(begun);
        if (owed.LeftAt is { } left && begun > left + UnderWay)
        {
            breaches.Add($"I4 {Name(owed)}: begun {begun - left} after the leaving");
        }

        if (begun < owed.NotBefore || begun > owed.NotAfter + BeginSlack)
        {
            breaches.Add(
                $"I5 {Name(owed)}: begun {begun}, window {owed.NotBefore} to {owed.NotAfter}"
            );
        }
    }

    /// <summary>Rows that nobody owed, and messages that no row knows.</summary>
    private static void Strangers(Evidence evidence, List<string> breaches)
    {
        var owed = evidence.Owed.Select(o => (o.SubscriberId, o.Kind, o.Key)).ToHashSet();
        var known = evidence.Rows.Select(r => r.MessageId).ToHashSet(StringComparer.Ordinal);
        foreach (var row in evidence.Rows)
        {
            if (!owed.Contains((row.SubscriberId, row.Kind, row.Key)))
            {
                breaches.Add($"I1 a row that nobody owed: {row.Kind} {row.Key}, {row.State}");
            }
        }

        foreach (var line in evidence.Ledger.Where(l => !known.Contains(l.MessageId)))
        {
            breaches.Add($"I2 the relay took {line.MessageId}, which no row knows");
        }
    }

    private static void Recovery(Evidence evidence, List<string> breaches)
    {
        if (evidence.Recovery > evidence.RecoveryAtMost)
        {
            breaches.Add(
                $"I6 recovery took {evidence.Recovery}, at most {evidence.RecoveryAtMost}"
            );
        }

        foreach (var (recipient, tries) in evidence.Tries)
        {
            if (tries > evidence.TriesAtMost)
            {
                breaches.Add(
                    $"I7 {recipient} was named {tries} times, at most {evidence.TriesAtMost}"
                );
            }
        }
    }

    private static void Logs(Evidence evidence, List<string> breaches)
    {
        foreach (Match match in Address().Matches(evidence.Log))
        {
            breaches.Add($"I8 the log holds an address: {match.Value}");
        }

        foreach (var secret in evidence.Secrets)
        {
            if (evidence.Log.Contains(secret, StringComparison.Ordinal))
            {
                breaches.Add($"I8 the log holds a secret: {secret}");
            }
        }
    }

    private static string Name(Owed owed) => $"{owed.Kind} {owed.Key} of {owed.SubscriberId}";

    /// <summary>Any address that is not masked; example.org is the sender's own domain in these tests.</summary>
    [GeneratedRegex(@"[\p{L}\d._%+-]*[\p{L}\d]@(?!example\.org)[\p{L}\d-]+(\.[\p{L}\d-]+)+")]
    private static partial Regex Address();
}
