using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>check</c> says of the outbox: how much is in it, what is overdue, what went wrong lately.</summary>
internal static class CheckedOutbox
{
    private const int MostShown = 5;

    private static readonly Duration Overdue = Duration.FromMinutes(15);
    private static readonly Duration Lately = Duration.FromDays(7);

    public static async Task LookAsync(
        TurfStore store,
        Instant now,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        var counts = await store.Outbox.CountAsync(cancel);
        var words = counts
            .Where(c => c.Value > 0)
            .Select(c => $"{c.Value} {Words.Kebab(c.Key.ToString())}")
            .DefaultIfEmpty("no messages yet");
        findings.Add(new(CheckId.Outbox, CheckState.Well, string.Join(", ", words)));
        if (await store.Outbox.HeldAsync(cancel) is { } held)
        {
            findings.Add(new(CheckId.OutboxHeld, CheckState.Mind, held.Sentence));
        }
        else if (await store.Outbox.OldestDueAsync(cancel) is { } due && now - due > Overdue)
        {
            findings.Add(
                new(
                    CheckId.OutboxOverdue,
                    CheckState.Mind,
                    $"a message has been waiting since {due}, for {(now - due).TotalMinutes:0} minutes: is 'turfwatch serve' running, and is mail well?"
                )
            );
        }

        await TroublesAsync(store, now, findings, cancel);
    }

    private static async Task TroublesAsync(
        TurfStore store,
        Instant now,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        var shown = new Queue<OutboxMessage>();
        var all = 0;
        await foreach (
            var row in store.Outbox.ListAsync(cancel, OutboxState.Unknown, OutboxState.Dead)
        )
        {
            if (row.NotBefore < now - Lately)
            {
                continue;
            }

            all++;
            shown.Enqueue(row);
            if (shown.Count > MostShown)
            {
                shown.Dequeue();
            }
        }

        foreach (var row in shown)
        {
            var what =
                row.State == OutboxState.Unknown
                    ? "may or may not have arrived; it is not sent again, lest it come twice"
                    : "was not sent and will not be";
            findings.Add(
                new(
                    row.State == OutboxState.Unknown ? CheckId.OutboxUnknown : CheckId.OutboxDead,
                    CheckState.Mind,
                    $"message {row.Id} to {AddressMask.Of(row.Recipient)}, due {row.NotBefore}, {what}: {AddressMask.In(row.LastReply ?? "no answer")}"
                )
            );
        }

        if (all > shown.Count)
        {
            findings.Add(
                new(
                    CheckId.Outbox,
                    CheckState.Mind,
                    $"and {all - shown.Count} more such messages in the last {Lately.TotalDays:0} days"
                )
            );
        }
    }
}
