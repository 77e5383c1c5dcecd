using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Lets a held store send again. For a restored copy it first puts on record what the service that the backup was taken
/// from may have sent meanwhile, so that no morning and no digest goes out a second time.
/// </summary>
internal sealed class HoldRelease(TurfStore store, JobsOptions options)
{
    private const int Batch = 1000;

    private const string MaybeSent =
        "not made here: the service that the backup was taken from may have sent it";

    // Mornings of longer ago are past their window, and nobody makes them any more.
    private static readonly Duration LongestBack = Duration.FromHours(36);

    /// <param name="hold">The hold that ends.</param>
    /// <param name="othersSentUntil">Until when another service may have sent; null: none did after the backup.</param>
    public async Task<HoldReleased?> RunAsync(
        OutboxHold hold,
        Instant? othersSentUntil,
        CancellationToken cancel
    )
    {
        var made = 0;
        if (hold.BackupAt is { } from && othersSentUntil is { } until && until > from)
        {
            var owed = MorningsAsync(from, until, cancel).Concat(DigestsAsync(from, until, cancel));
            await foreach (var batch in owed.Chunk(Batch).WithCancellation(cancel))
            {
                made += await store.Outbox.RecordMaybeSentAsync(batch, MaybeSent, cancel);
            }
        }

        var released = await store.Outbox.ReleaseAsync(othersSentUntil, cancel);
        return released is null ? null : released with { Unknown = released.Unknown + made };
    }

    private IAsyncEnumerable<OutboxMessage> MorningsAsync(
        Instant from,
        Instant until,
        CancellationToken cancel
    ) =>
        store
            .Subscribers.DueMorningsAsync(
                until,
                Duration.Zero,
                Duration.Min(until - from, LongestBack),
                cancel
            )
            .Select(morning =>
                Row(
                    morning.Subscriber,
                    MessageKind.Morning,
                    morning.Key,
                    morning.DueAt,
                    morning.DueAt + Duration.FromTimeSpan(options.MorningLate)
                )
            );

    private async IAsyncEnumerable<OutboxMessage> DigestsAsync(
        Instant from,
        Instant until,
        [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken cancel
    )
    {
        await foreach (
            var season in store.SeasonPlans.DueAsync(
                until - Duration.FromTimeSpan(options.SeasonAfter),
                cancel
            )
        )
        {
            if (
                DigestDay.Of(season, options) is { } date
                && season.DueAt + Duration.FromTimeSpan(options.SeasonAfter) > from
            )
            {
                yield return Row(
                    season.Subscriber,
                    MessageKind.Digest,
                    DigestDay.KeyOf(date, season.Lawn.Id),
                    season.DueAt,
                    DigestDay.DueAt(date, season.Lawn) + Duration.FromTimeSpan(options.DigestLate)
                );
            }
        }
    }

    private static OutboxMessage Row(
        Subscriber to,
        MessageKind kind,
        string key,
        Instant notBefore,
        Instant notAfter
    ) =>
        new()
        {
            SubscriberId = to.Id,
            Kind = kind,
            Key = key,
            Recipient = to.Email,
            EnvelopeSender = "",
            MessageId = "",
            NotBefore = notBefore,
            NotAfter = notAfter,
            Content = [],
        };
}
