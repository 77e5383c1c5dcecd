using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <summary>What is not sent, and what is, after a hold or a restore (R33, fault D11).</summary>
public sealed class HoldTests : IDisposable
{
    private static readonly Duration Hour = Duration.FromHours(1);

    private readonly OperatorBench _bench = new();

    private static CancellationToken Cancel => OperatorBench.Cancel;

    private string Second => _bench.PathOf("second");

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task While_it_is_held_nothing_is_claimed_or_begun_and_then_all_goes_on()
    {
        await _bench.FillAsync(people: 2);
        await using var store = await _bench.OpenAsync();
        var claimed = await store.Outbox.ClaimAsync("w", 1, Hour, Cancel);

        await _bench.DoneAsync("outbox hold");
        Assert.Equal(
            SendPermit.Held,
            await store.Outbox.BeginSendingAsync(Assert.Single(claimed), Hour, Cancel)
        );
        Assert.Empty(await store.Outbox.ClaimAsync("w", 10, Hour, Cancel));
        // It went back as if it had not been claimed.
        Assert.Equal(
            0,
            (await store.Outbox.OpenFileAsync(claimed[0].Id, Cancel))!.Message.Attempts
        );
        Assert.StartsWith(
            "HELD: nothing is sent since 2026-11-29T12:00:00Z: held by the operator",
            await _bench.DoneAsync("outbox list"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "nothing is sent since 2026-11-29T12:00:00Z: held by the operator",
            (await _bench.RunAsync("check")).Out,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "held already",
            await _bench.DoneAsync("outbox hold"),
            StringComparison.Ordinal
        );

        Assert.StartsWith(
            "Released. Waiting to be sent: 2. Expired, since their window closed: 0.",
            await _bench.DoneAsync("outbox release"),
            StringComparison.Ordinal
        );
        Assert.Equal(2, (await store.Outbox.ClaimAsync("w", 10, Hour, Cancel)).Count);
        Assert.Equal("Nothing is held.\n", await _bench.DoneAsync("outbox release"));
    }

    [Fact]
    public async Task A_copy_released_as_if_the_old_service_had_stopped_at_the_backup_sends_what_is_in_its_window()
    {
        await BackUpAsync();
        _bench.Time.Advance(TimeSpan.FromHours(2));
        await RestoreAsync();
        await using var store = await _bench.OpenAsync(Second);
        Assert.Empty(await store.Outbox.ClaimAsync("w", 10, Hour, Cancel));

        await ReleaseAsync("--old-service-stopped at-backup");

        var states = await StatesAsync(store);
        Assert.Equal(OutboxState.Expired, states["closed"]);
        Assert.Equal(OutboxState.Sent, states["was sent"]);
        Assert.Equal(
            ["alert", "open", "to come"],
            states
                .Where(s => s.Value == OutboxState.Queued)
                .Select(s => s.Key)
                .Order(StringComparer.Ordinal)
        );
        Assert.Equal(
            ["open", "alert"],
            (await store.Outbox.ClaimAsync("w", 10, Hour, Cancel)).Select(m => m.Key)
        );
    }

    [Fact]
    public async Task Unless_it_is_told_a_release_takes_the_old_service_to_have_sent_until_the_restore()
    {
        await BackUpAsync();
        _bench.Time.Advance(TimeSpan.FromHours(2));
        await RestoreAsync();
        await using var store = await _bench.OpenAsync(Second);

        var said = await ReleaseAsync("");

        var states = await StatesAsync(store);
        // Mornings that were due by then: never a second copy, whether their window is open or not.
        Assert.Equal(OutboxState.Unknown, states["open"]);
        Assert.Equal(OutboxState.Unknown, states["closed"]);
        Assert.Equal(OutboxState.Queued, states["to come"]);
        // Also the mornings of 13:00 that the backup knew nothing of; they are on record.
        Assert.Equal(OutboxState.Unknown, states["2026-11-29#1"]);
        Assert.Equal(OutboxState.Unknown, states["2026-11-29#2"]);
        Assert.Contains(
            "not sent again: 4. Perhaps sent, and sent once more with the same Message-ID: 1.",
            said,
            StringComparison.Ordinal
        );

        // The alert goes once more, and a second end that nobody knows settles it.
        var again = Assert.Single(await store.Outbox.ClaimAsync("w", 10, Hour, Cancel));
        Assert.Equal("alert", again.Key);
        await store.Outbox.BeginSendingAsync(again, Hour, Cancel);
        await store.Outbox.CompleteAsync(again, OutboxOutcome.Unknown("no answer"), Cancel);
        Assert.Equal(OutboxState.Unknown, (await StatesAsync(store))["alert"]);
    }

    [Fact]
    public async Task The_digest_that_the_old_service_may_have_sent_is_not_made_again()
    {
        // A Sunday; its digest is due with the morning at 13:00, half an hour later at the most.
        await using (var first = await _bench.OpenAsync())
        {
            var lawn = OperatorBench.Lawn() with { DigestDay = IsoDayOfWeek.Sunday };
            await first.Subscribers.AddAsync("a@example.com", lawn, Cancel);
        }

        await _bench.DoneAsync("backup --to b.tar.gz");
        _bench.Time.Advance(TimeSpan.FromHours(4));
        await RestoreAsync();
        await ReleaseAsync("");

        await using var store = await _bench.OpenAsync(Second);
        Assert.Equal(OutboxState.Unknown, (await StatesAsync(store))["2026-W48#1"]);
    }

    [Theory]
    [InlineData("--old-service-stopped 2026-11-29T12:00:00Z", "is for restored copies", false)]
    [InlineData("--old-service-stopped 2026-12-29T12:00:00Z", "is still to come", true)]
    [InlineData("--old-service-stopped yesterday", "write an instant", true)]
    public async Task A_moment_that_cannot_be_is_refused(string option, string says, bool restored)
    {
        await BackUpAsync();
        if (restored)
        {
            await RestoreAsync();
        }
        else
        {
            await _bench.DoneAsync("outbox hold");
        }

        var folder = restored ? Second : _bench.Data;
        Assert.Contains(
            says,
            await _bench.RefusedAsync($"outbox release {option}", folder: folder),
            StringComparison.Ordinal
        );
        await using var store = await _bench.OpenAsync(folder);
        Assert.NotNull(await store.Outbox.HeldAsync(Cancel));
    }

    /// <summary>A backup at noon that knows a message in every situation.</summary>
    private async Task BackUpAsync()
    {
        await using (var store = await _bench.OpenAsync())
        {
            var ann = (
                await store.Subscribers.AddAsync("a@example.com", OperatorBench.Lawn(), Cancel)
            )!.Subscriber;
            await store.Subscribers.AddAsync("b@example.com", OperatorBench.Lawn(), Cancel);
            var now = _bench.Now;
            await store.Outbox.EnqueueAsync(
                [OperatorBench.Message(ann, "was sent", now, 8 * Hour)],
                Cancel
            );
            var first = Assert.Single(await store.Outbox.ClaimAsync("w", 1, Hour, Cancel));
            await store.Outbox.BeginSendingAsync(first, Hour, Cancel);
            await store.Outbox.CompleteAsync(first, OutboxOutcome.Sent("250 ok"), Cancel);
            await store.Outbox.EnqueueAsync(
                [
                    OperatorBench.Message(ann, "open", now, 8 * Hour),
                    OperatorBench.Message(ann, "closed", now, Hour),
                    OperatorBench.Message(ann, "to come", now + 4 * Hour, 3 * Hour),
                    OperatorBench.Message(
                        ann,
                        "alert",
                        now + Hour,
                        Duration.FromDays(2),
                        MessageKind.Alert
                    ),
                ],
                Cancel
            );
        }

        await _bench.DoneAsync("backup --to b.tar.gz");
    }

    private Task<string> RestoreAsync() =>
        _bench.DoneAsync($"restore --from b.tar.gz --into {Second}");

    private Task<string> ReleaseAsync(string option) =>
        _bench.DoneAsync($"outbox release {option}".TrimEnd(), Second);

    private static async Task<Dictionary<string, OutboxState>> StatesAsync(TurfStore store) =>
        await store
            .Outbox.ListAsync(Cancel)
            .ToDictionaryAsync(m => m.Key, m => m.State, StringComparer.Ordinal, Cancel);
}
