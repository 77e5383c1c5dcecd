using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Commands;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <summary>
/// The drill of docs/operations.md with the real program: a service that delivers is backed up and killed, the copy is
/// served from another folder or another database, and a real relay counts what arrives (R33).
/// </summary>
public sealed class RestoreDrillTests : IAsyncLifetime
{
    private static readonly Duration Hour = Duration.FromHours(1);

    private readonly Scratch _scratch = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    private static Instant Now => Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());

    private PostgresServer? _server;

    private StoreOptions First { get; set; } = new();

    private StoreOptions Second { get; set; } = new();

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        if (_server is not null)
        {
            await _server.DisposeAsync();
        }

        _scratch.Dispose();
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_restored_service_sends_nothing_until_it_is_released_and_then_only_what_is_in_its_window(
        bool postgres
    )
    {
        await using var relay = FaultySmtp.Start(SmtpScript.Healthy);
        _server = postgres ? await PostgresServer.StartAsync(Cancel, durable: true) : null;
        (First, Second) = (await PlaceAsync("first"), await PlaceAsync("second"));
        await FillAsync();

        // While the service runs and has sent what was due, the backup is made; then its machine is lost.
        await using (var service = Serve(First, relay.Port))
        {
            await service.UntilAsync(() => Task.FromResult(relay.Taken.Count >= 1));
            await service.UntilAsync(() => IsAsync(First, "due", OutboxState.Sent));
            await RunAsync(First, "backup --to drill.tar.gz");
            Assert.Equal(128 + 9, await service.KillAsync());
        }

        await RunAsync(Second, "restore --from drill.tar.gz");
        await UntilDueAsync(Second);
        await using var restored = Serve(Second, relay.Port);
        var (status, text) = await restored.UntilReadySaysAsync(t =>
            t.Contains("mail (since", StringComparison.Ordinal)
        );
        Assert.Equal(200, status);
        Assert.StartsWith("ready, degraded", text, StringComparison.Ordinal);
        Assert.Contains("All mail is held", restored.Log, StringComparison.Ordinal);
        await restored.UntilAsync(() => Task.FromResult(Ticks(restored) >= 3));
        Assert.Single(relay.Taken);

        await RunAsync(Second, "outbox release --old-service-stopped at-backup");
        await restored.UntilAsync(() => IsAsync(Second, "in window", OutboxState.Sent));
        await restored.UntilReadySaysAsync(t =>
            !t.Contains("mail (since", StringComparison.Ordinal)
        );
        await restored.StopAsync();

        Assert.Equal(
            ["drill.due@example.org", "drill.in-window@example.org"],
            relay.Taken.Select(m => m.MessageId)
        );
        Assert.True(await IsAsync(Second, "closed", OutboxState.Expired));
        Assert.True(await IsAsync(Second, "to come", OutboxState.Queued));
    }

    // How often the held service looked at its queue.
    private static int Ticks(ServeProcess service) =>
        service.Log.Split("nothing is sent since").Length - 1;

    private async Task<StoreOptions> PlaceAsync(string name) =>
        new()
        {
            DataDirectory = Path.Combine(_scratch.Folder, name),
            Postgres = _server is null
                ? ""
                : _server.ConnectionString(await _server.NewDatabaseAsync(Cancel)),
        };

    private static ServeProcess Serve(StoreOptions place, int port) =>
        ServeProcess.Start(
            place.DataDirectory,
            [.. ServeProcess.Relay(port), ("Store:Postgres", place.Postgres)]
        );

    private async Task RunAsync(StoreOptions place, string line)
    {
        var config = _scratch.Write(
            "drill.json",
            $$"""{ "Store": { "DataDirectory": "{{place.DataDirectory}}", "Postgres": "{{place.Postgres}}" } }"""
        );
        var answer = await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            [.. line.Split(' '), "--config", config]
        );
        Assert.True(answer.Exit == 0, $"{line}: {answer.Error}");
    }

    private async Task FillAsync()
    {
        Directory.CreateDirectory(First.DataDirectory);
        await using var store = await OpenAsync(First, StoreAccess.Own);
        // No morning of the service's own comes due while the test runs.
        var farOff = (Now + Duration.FromHours(12)).InUtc().TimeOfDay;
        var who = (
            await store.Subscribers.AddAsync(
                "a@example.com",
                OperatorBench.Lawn(farOff.Hour, farOff.Minute),
                Cancel
            )
        )!.Subscriber;
        await store.Outbox.EnqueueAsync(
            [
                Message(who, "due", Now, 3 * Hour),
                // Both come due between the backup and the restored service; one closes before it starts.
                Message(who, "in window", Now + Soon, 3 * Hour),
                Message(who, "closed", Now + Soon, Duration.FromMilliseconds(1)),
                Message(who, "to come", Now + 6 * Hour, 3 * Hour),
            ],
            Cancel
        );
    }

    private static readonly Duration Soon = Duration.FromSeconds(30);

    /// <summary>Waits until the messages are due that the backup had waiting.</summary>
    private static async Task UntilDueAsync(StoreOptions place)
    {
        await using var store = await OpenAsync(place, StoreAccess.Beside);
        var due = await store
            .Outbox.ListAsync(Cancel, OutboxState.Queued)
            .Where(m => m.Key == "closed")
            .Select(m => m.NotAfter)
            .SingleAsync(Cancel);
        var left = due - Now;
        if (left > Duration.Zero)
        {
            await Task.Delay((left + Duration.FromMilliseconds(50)).ToTimeSpan(), Cancel);
        }
    }

    private static OutboxMessage Message(
        Subscriber to,
        string key,
        Instant notBefore,
        Duration window
    )
    {
        var id = $"drill.{key.Replace(' ', '-')}@example.org";
        return OperatorBench.Message(to, key, notBefore, window) with
        {
            MessageId = id,
            Content = System.Text.Encoding.ASCII.GetBytes(
                $"From: lawn@example.org\r\nTo: {to.Email}\r\nSubject: Mow from 10:00\r\nMessage-ID: <{id}>\r\n\r\nDry by 10:00.\r\n"
            ),
        };
    }

    private static async Task<bool> IsAsync(StoreOptions place, string key, OutboxState state)
    {
        await using var store = await OpenAsync(place, StoreAccess.Beside);
        return await store.Outbox.ListAsync(Cancel, state).AnyAsync(m => m.Key == key, Cancel);
    }

    private static Task<TurfStore> OpenAsync(StoreOptions place, StoreAccess access) =>
        TurfStore.OpenAsync(place, TimeProvider.System, Cancel, access);
}
