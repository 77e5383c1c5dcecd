using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>Morning messages in the outbox of a store, each to a subscriber of its own, due now for three hours.</summary>
internal static class QueuedMornings
{
    /// <param name="store">The store.</param>
    /// <param name="name">Begins the keys and Message-IDs.</param>
    /// <param name="count">How many.</param>
    /// <param name="cancellation">Stops it.</param>
    public static async Task AddAsync(
        TurfStore store,
        string name,
        int count,
        CancellationToken cancellation
    )
    {
        var now = Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
        // No morning of the service's own comes due while the test runs.
        var farOff = (now + Duration.FromHours(12)).InUtc().TimeOfDay;
        var lawn = new Lawn
        {
            Place = new("78205", "San Antonio", "TX", 29.42, -98.49, "Etc/UTC"),
            Grass = GrassKind.Bermuda,
            MessageTime = new(farOff.Hour, farOff.Minute),
        };
        var messages = new List<OutboxMessage>();
        for (var i = 0; i < count; i++)
        {
            var to = await store.Subscribers.AddAsync($"r{i}@example.com", lawn, cancellation);
            messages.Add(
                new()
                {
                    SubscriberId = to!.Subscriber.Id,
                    Kind = MessageKind.Morning,
                    Key = $"{name}#{i}",
                    Recipient = to.Subscriber.Email,
                    EnvelopeSender = "bounces@example.org",
                    MessageId = $"{name}.{i}@example.org",
                    NotBefore = now,
                    NotAfter = now + Duration.FromHours(3),
                    Content = Encoding.ASCII.GetBytes(
                        $"From: lawn@example.org\r\nTo: {to.Subscriber.Email}\r\nSubject: Mow from 10:00\r\n"
                            + $"Message-ID: <{name}.{i}@example.org>\r\n\r\nDry by 10:00.\r\n"
                    ),
                }
            );
        }

        Assert.Equal(count, await store.Outbox.EnqueueAsync(messages, cancellation));
    }
}
