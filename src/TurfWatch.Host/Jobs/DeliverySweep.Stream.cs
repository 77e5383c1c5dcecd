using System.Runtime.CompilerServices;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Jobs;

public sealed partial class DeliverySweep
{
    /// <summary>While a long stream goes on, rows whose window closed or whose lease lapsed are looked for this often.</summary>
    private static readonly Duration SweepAgain = Duration.FromSeconds(10);

    /// <summary>
    /// The first batch and, as long as batches come full, the next: claimed when one has a message left for each connection, so
    /// that none waits for it, and a slow transaction keeps no other waiting. It ends before messages that lost a lease, which
    /// go alone.
    /// </summary>
    private async IAsyncEnumerable<Claimed> StreamAsync(
        IReadOnlyList<OutboxMessage> first,
        Instant claimedAt,
        DeliveryReport report,
        [EnumeratorCancellation] CancellationToken stop
    )
    {
        var batch = new Batch(first, claimedAt);
        var sweptAt = claimedAt;
        while (true)
        {
            Failpoint.Pass(Failpoint.AfterClaim, batch.Messages);
            Task<Batch>? next = null;
            for (var i = 0; i < batch.Messages.Count; i++)
            {
                // What is claimed and then not wanted is put back like the rest of a batch.
                var left = batch.Messages.Count - i;
                if (next is null && left <= options.Connections && MayClaimMore(batch))
                {
                    next = Task.Run(ClaimFreshAsync, CancellationToken.None);
                }

                yield return new(batch.Messages[i], batch.ClaimedAt);
            }

            if (next is null)
            {
                yield break;
            }

            batch = await next;
            if (Now - sweptAt > SweepAgain)
            {
                sweptAt = Now;
                Count(await store.Outbox.SweepAsync(options.MaxClaims, UnderWay, stop), report);
            }
        }

        bool MayClaimMore(Batch batch) =>
            batch.Messages.Count >= Math.Max(options.Batch, 2)
            && report.Halted is null
            && !_relay.IsDoubtful
            && !stop.IsCancellationRequested;

        async Task<Batch> ClaimFreshAsync()
        {
            var at = Now;
            return new(
                await store.Outbox.ClaimFreshAsync(
                    Worker.Name,
                    options.Batch,
                    Duration.FromTimeSpan(options.Lease),
                    CancellationToken.None
                ),
                at
            );
        }
    }

    private sealed record Batch(IReadOnlyList<OutboxMessage> Messages, Instant ClaimedAt);

    private readonly record struct Claimed(OutboxMessage Message, Instant At);
}
