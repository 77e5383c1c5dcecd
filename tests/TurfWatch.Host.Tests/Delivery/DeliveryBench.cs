using System.Collections.Concurrent;
using System.Text;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>A store in a folder of its own, a clock that stands still, and a relay that does as told.</summary>
internal sealed class DeliveryBench : IAsyncDisposable
{
    private readonly ScratchFolder _folder = new();
    private readonly List<DeliverySweep> _sweeps = [];
    private StoreOptions _storeOptions = new();

    public FakeTimeProvider Time { get; } = new(new(2026, 11, 25, 12, 30, 0, TimeSpan.Zero));

    public ScriptedRelay Relay { get; } = new();

    public TurfStore Store { get; private set; } = null!;

    /// <summary>Free space that the store wants; more than there is stands for a full disk.</summary>
    public int MinFreeDiskMiB
    {
        set => _storeOptions.MinFreeDiskMiB = value;
    }

    public string DatabasePath => Path.Combine(_folder.Path, "turfwatch.db");

    public Instant Now => Instant.FromDateTimeOffset(Time.GetUtcNow());

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public static async Task<DeliveryBench> StartAsync()
    {
        var bench = new DeliveryBench();
        await bench.OpenAsync();
        return bench;
    }

    public DeliverySweep Sweep(DeliveryOptions? options = null)
    {
        var sweep = new DeliverySweep(
            Store,
            Relay,
            Time,
            options ?? Unpaced(),
            NullLogger<DeliverySweep>.Instance,
            new Random(4711)
        );
        _sweeps.Add(sweep);
        return sweep;
    }

    public static DeliveryOptions Unpaced(int connections = 2) =>
        new()
        {
            PerSecond = 0,
            PerDomainPerSecond = 0,
            Connections = connections,
        };

    /// <summary>The process dies and a new one starts.</summary>
    public async Task RestartAsync()
    {
        await Store.DisposeAsync();
        await OpenAsync();
    }

    /// <summary>One subscriber each, one message each, due now.</summary>
    public async Task<List<OutboxMessage>> QueueAsync(
        int count,
        MessageKind kind = MessageKind.Morning
    )
    {
        var messages = new List<OutboxMessage>();
        for (var i = 0; i < count; i++)
        {
            var email = $"{kind}{i}@example.com".ToLowerInvariant();
            var to =
                await Store.Subscribers.AddAsync(email, ALawn, Cancellation)
                ?? throw new InvalidOperationException(email);
            messages.Add(
                new()
                {
                    SubscriberId = to.Subscriber.Id,
                    Kind = kind,
                    Key = $"2026-11-25#{to.Lawns[0].Id}",
                    Recipient = email,
                    EnvelopeSender = "bounces@example.org",
                    MessageId = $"{kind}{i}@example.org",
                    NotBefore = Now,
                    NotAfter = Now + Duration.FromHours(3),
                    Content = Encoding.ASCII.GetBytes($"To: {email}\r\n\r\nMow from 10:00.\r\n"),
                }
            );
        }

        await Store.Outbox.EnqueueAsync(messages, Cancellation);
        return messages;
    }

    public async Task<OutboxMessage> RowAsync(OutboxMessage message) =>
        await Store.Outbox.FindAsync(message.SubscriberId, message.Kind, message.Key, Cancellation)
        ?? throw new InvalidOperationException($"no row for {message.Key}");

    public async ValueTask DisposeAsync()
    {
        foreach (var sweep in _sweeps)
        {
            sweep.Dispose();
        }

        await Store.DisposeAsync();
        _folder.Dispose();
    }

    private async Task OpenAsync()
    {
        _storeOptions = new()
        {
            DataDirectory = _folder.Path,
            MinFreeDiskMiB = 1,
            BusyTimeout = TimeSpan.FromSeconds(1),
        };
        Store = await TurfStore.OpenAsync(_storeOptions, Time, Cancellation);
    }

    private static Lawn ALawn =>
        new()
        {
            Place = new("00000", "Testville", "TX", 29.4, -98.5, "America/Chicago"),
            Grass = GrassKind.Bermuda,
        };
}

/// <summary>Takes every message unless told otherwise, and remembers what it took.</summary>
internal sealed class ScriptedRelay : IMailTransport
{
    private readonly ConcurrentQueue<OutboxMessage> _taken = new();
    private int _calls;

    /// <summary>What to do instead of taking the message; null takes it.</summary>
    public Func<OutboxMessage, CancellationToken, Task<SendOutcome?>>? Script { get; set; }

    public IReadOnlyList<OutboxMessage> Taken => [.. _taken];

    public int Calls => _calls;

    public void Answer(Func<OutboxMessage, SendOutcome?> script) =>
        Script = (message, _) => Task.FromResult(script(message));

    /// <summary>What a relay does before its 250: the message is its own from here.</summary>
    public void Take(OutboxMessage message) => _taken.Enqueue(message);

    public async Task<SendOutcome> SendAsync(
        OutboxMessage message,
        CancellationToken cancellationToken
    )
    {
        Interlocked.Increment(ref _calls);
        if (Script is not null && await Script(message, cancellationToken) is { } told)
        {
            return told;
        }

        Take(message);
        return new SendOutcome.Accepted($"250 2.0.0 queued as {message.Id}");
    }
}
