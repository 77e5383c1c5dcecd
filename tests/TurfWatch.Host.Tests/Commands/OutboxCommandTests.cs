using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Backups;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class OutboxCommandTests : IDisposable
{
    private static readonly Duration Hour = Duration.FromHours(1);

    private readonly OperatorBench _bench = new();

    private static CancellationToken Cancel => OperatorBench.Cancel;

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task Messages_are_listed_with_masked_addresses_unless_asked_for()
    {
        await SettleAsync("k#0", OutboxOutcome.Refused("550 no <p0@example.com> here"));

        var masked = await _bench.DoneAsync("outbox list");
        Assert.Contains("dead        morning", masked, StringComparison.Ordinal);
        Assert.DoesNotContain("p0@example.com", masked, StringComparison.Ordinal);
        Assert.Contains("p***@e***", masked, StringComparison.Ordinal);
        var full = await _bench.DoneAsync("outbox list --full --state dead,unknown");
        Assert.Contains("550 no <p0@example.com> here", full, StringComparison.Ordinal);
        Assert.DoesNotContain("queued", full, StringComparison.Ordinal);

        var one = await _bench.DoneAsync("outbox list --subscriber P1@example.com --json");
        var message = Assert.Single(
            JsonDocument.Parse(one).RootElement.GetProperty("messages").EnumerateArray()
        );
        Assert.Equal("claimed", message.GetProperty("state").GetString());
        Assert.DoesNotContain("p1@example.com", one, StringComparison.Ordinal);

        Assert.Equal(
            "No such message.\n",
            await _bench.DoneAsync("outbox list --since 2026-11-30")
        );
        Assert.Equal("No such message.\n", await _bench.DoneAsync("outbox list --kind digest"));
    }

    [Theory]
    [InlineData("outbox list --state lost", "--state is 'lost'; write one of queued")]
    [InlineData("outbox list --kind letter", "--kind is 'letter'; write one of morning")]
    [InlineData("outbox list --since monday", "--since is 'monday'; write a date")]
    [InlineData("outbox list --subscriber x@example.com", "which is not on the list")]
    [InlineData("outbox show 77", "Message 77 is not there")]
    [InlineData("outbox show it", "ID is 'it'; write the number")]
    [InlineData("outbox retry 77", "Message 77 is not there")]
    [InlineData("outbox cancel 77", "Message 77 is not there")]
    [InlineData("outbox why --email x@example.com", "of which nothing is held")]
    [InlineData("outbox why --email p0@example.com --on someday", "--on is 'someday'")]
    public async Task Each_misuse_is_told(string line, string says)
    {
        await _bench.FillAsync();
        Assert.Contains(says, await _bench.RefusedAsync(line), StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_message_is_shown_and_written_as_it_is_sent()
    {
        await _bench.FillAsync();
        var shown = await _bench.DoneAsync("outbox show 1 --eml out.eml");
        Assert.Contains("waits for its time", shown, StringComparison.Ordinal);
        Assert.DoesNotContain("p0@example.com", shown, StringComparison.Ordinal);
        Assert.Contains(
            "To: p0@example.com\r\n",
            await File.ReadAllTextAsync(_bench.PathOf("out.eml"), Cancel),
            StringComparison.Ordinal
        );
        Assert.Equal(
            UnixFileMode.UserRead | UnixFileMode.UserWrite,
            File.GetUnixFileMode(_bench.PathOf("out.eml"))
        );
        Assert.Contains(
            "is there already",
            await _bench.RefusedAsync("outbox show 1 --eml out.eml"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "\"state\": \"queued\"",
            await _bench.DoneAsync("outbox show 1 --json"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task What_was_given_up_is_tried_again_within_its_window_alone()
    {
        await SettleAsync("k#0", OutboxOutcome.Refused("550 full"));
        await _bench.DoneAsync("outbox retry 1");
        await using (var store = await _bench.OpenAsync())
        {
            Assert.Contains(
                "k#0",
                (await store.Outbox.ClaimAsync("w", 9, Hour, Cancel)).Select(m => m.Key)
            );
        }

        await SettleAsync("k#0", OutboxOutcome.Refused("550 full"), fill: false);
        _bench.Time.Advance(TimeSpan.FromHours(4));
        Assert.Contains(
            "is past its window",
            await _bench.RefusedAsync("outbox retry 1"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task What_was_sent_is_never_sent_again_and_what_may_have_arrived_only_on_demand()
    {
        await SettleAsync("k#0", OutboxOutcome.Sent("250 ok"));
        await SettleAsync("k#1", OutboxOutcome.Unknown("no answer"), fill: false);
        Assert.Contains(
            "was sent: the relay took it",
            await _bench.RefusedAsync("outbox retry 1 --even-if-it-arrived"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "add --even-if-it-arrived",
            await _bench.RefusedAsync("outbox retry 2"),
            StringComparison.Ordinal
        );
        await _bench.DoneAsync("outbox retry 2 --even-if-it-arrived");
        // While that second try waits, another order would hide that a copy may be out.
        Assert.Contains(
            "may have arrived",
            await _bench.RefusedAsync("outbox retry 2"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Whoever_left_gets_nothing_by_a_retry()
    {
        await SettleAsync("k#0", OutboxOutcome.Refused("550 full"));
        await using (var store = await _bench.OpenAsync())
        {
            var who = (await store.Subscribers.FindAsync("p0@example.com", Cancel))!.Subscriber;
            await store.Subscribers.SetStatusAsync(who.Id, SubscriberStatus.Left, "stop", Cancel);
        }

        Assert.Contains(
            "who left",
            await _bench.RefusedAsync("outbox retry 1"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_cancelled_message_is_not_made_again_and_can_be_brought_back()
    {
        await _bench.FillAsync();
        await using (var store = await _bench.OpenAsync())
        {
            await _bench.DoneAsync("outbox cancel 1");
            Assert.Contains(
                "is suppressed and cannot be cancelled",
                await _bench.RefusedAsync("outbox cancel 1"),
                StringComparison.Ordinal
            );
            var who = (await store.Subscribers.FindAsync("p0@example.com", Cancel))!.Subscriber;
            Assert.Equal(
                0,
                await store.Outbox.EnqueueAsync(
                    [OperatorBench.Message(who, "k#0", _bench.Now, Hour)],
                    Cancel
                )
            );
            Assert.Equal(2, (await store.Outbox.ClaimAsync("w", 9, Hour, Cancel)).Count);
        }

        await _bench.DoneAsync("outbox retry 1");
        await using var again = await _bench.OpenAsync();
        Assert.Contains(
            "k#0",
            (await again.Outbox.ClaimAsync("w", 9, Hour, Cancel)).Select(m => m.Key)
        );
    }

    [Fact]
    public async Task It_says_why_somebody_got_no_mail()
    {
        await using (var store = await _bench.OpenAsync())
        {
            var ann = (
                await store.Subscribers.AddAsync("a@example.com", OperatorBench.Lawn(), Cancel)
            )!;
            var key = DueMorning.KeyOf(new(2026, 11, 29), ann.Lawns[0].Id);
            await store.Outbox.EnqueueAsync(
                [OperatorBench.Message(ann.Subscriber, key, _bench.Now + Hour, 3 * Hour)],
                Cancel
            );
        }

        Assert.Contains(
            "no morning message: it was due at 13:00 Etc/UTC, that is 2026-11-28T13:00:00Z, before the lawn was added",
            await WhyAsync("2026-11-28"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "waits for its time or its next try (message 1)",
            await WhyAsync("2026-11-29"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "2026-11-30T13:00:00Z; until then nothing is sent",
            await WhyAsync("2026-11-30"),
            StringComparison.Ordinal
        );

        await _bench.DoneAsync("outbox hold");
        _bench.Time.Advance(TimeSpan.FromHours(36));
        var late = await WhyAsync("2026-11-30");
        Assert.Contains("outbox: nothing is sent since", late, StringComparison.Ordinal);
        Assert.Contains("no service ran while its window was open", late, StringComparison.Ordinal);

        await using (var store = await _bench.OpenAsync())
        {
            await store.Subscribers.SetStatusAsync(1, SubscriberStatus.Left, "link", Cancel);
        }

        var left = await WhyAsync("2026-11-30");
        Assert.Contains("left since 2026-12-01T00:00:00Z (link)", left, StringComparison.Ordinal);
        Assert.Contains("mail goes to active ones only", left, StringComparison.Ordinal);
        Assert.DoesNotContain("a@example.com", left, StringComparison.Ordinal);
    }

    private Task<string> WhyAsync(string date) =>
        _bench.DoneAsync($"outbox why --email a@example.com --on {date}");

    /// <summary>Brings the message of a key to an end.</summary>
    private async Task SettleAsync(string key, OutboxOutcome outcome, bool fill = true)
    {
        if (fill)
        {
            await _bench.FillAsync();
        }

        await using var store = await _bench.OpenAsync();
        foreach (var message in await store.Outbox.ClaimAsync("w", 9, Hour, Cancel))
        {
            if (message.Key == key)
            {
                await store.Outbox.BeginSendingAsync(message, Hour, Cancel);
                await store.Outbox.CompleteAsync(message, outcome, Cancel);
            }
        }
    }
}
