using System.Text;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests;

internal static class Samples
{
    public static Lawn Lawn(string zone = "America/Chicago", LocalTime? at = null) =>
        new()
        {
            Place = new("00000", "Testville", "TX", 29.4, -98.5, zone),
            Grass = GrassKind.Bermuda,
            MessageTime = at ?? new(6, 30),
        };

    public static OutboxMessage Message(
        Subscriber to,
        Instant notBefore,
        string key = "2026-11-25#1",
        MessageKind kind = MessageKind.Morning,
        Duration? window = null
    ) =>
        new()
        {
            SubscriberId = to.Id,
            Kind = kind,
            Key = key,
            Recipient = to.Email,
            EnvelopeSender = "bounces@example.org",
            MessageId = $"{kind}.{to.Id}.{key}@example.org",
            NotBefore = notBefore,
            NotAfter = notBefore + (window ?? Duration.FromHours(3)),
            Content = Encoding.UTF8.GetBytes($"To: {to.Email}\r\n\r\nMow from 10:00.\r\n"),
        };
}
