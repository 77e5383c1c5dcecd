using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Faults.Judging;
using TurfWatch.Host.Commands;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

internal sealed partial class FaultRig
{
    /// <summary>Bytes by which each queued message is longer than it need be.</summary>
    public int Padding { get; set; }

    /// <summary>Queues one message each for as many new subscribers, of the kinds in turn.</summary>
    /// <param name="count">How many.</param>
    /// <param name="kinds">Kinds in turn; none means mornings.</param>
    public Task<IReadOnlyList<Owed>> QueueAsync(int count, params MessageKind[] kinds) =>
        QueueAsync(count, Now, Now + Duration.FromHours(3), Duration.Zero, kinds);

    /// <summary>The same with a window; the messages come due one after the other over <paramref name="spread"/>.</summary>
    public async Task<IReadOnlyList<Owed>> QueueAsync(
        int count,
        Instant notBefore,
        Instant notAfter,
        Duration spread,
        params MessageKind[] kinds
    )
    {
        await using var store = await OpenAsync();
        var messages = new List<OutboxMessage>();
        var owed = new List<Owed>();
        for (var i = 0; i < count; i++)
        {
            var number = _owed.Count + i + 1;
            var to = await store.Subscribers.AddAsync(
                $"r{number}@example.com",
                Lawn(number),
                Cancellation
            );
            var one = new Owed(
                to!.Subscriber.Id,
                kinds.Length == 0 ? MessageKind.Morning : kinds[i % kinds.Length],
                $"fault#{number}",
                to.Subscriber.Email,
                LedgerLine.Canary(number),
                notBefore + (spread * ((double)i / count)),
                notAfter
            );
            owed.Add(one);
            messages.Add(Message(one));
        }

        foreach (var part in messages.Chunk(500))
        {
            Assert.Equal(part.Length, await store.Outbox.EnqueueAsync(part, Cancellation));
        }

        _owed.AddRange(owed);
        return owed;
    }

    /// <summary>Subscribers whose morning comes due now; the program makes and sends their messages.</summary>
    /// <param name="count">How many.</param>
    /// <param name="late">The program's Jobs:MorningLate.</param>
    /// <param name="inMinutes">Minutes from now at which they come due.</param>
    public async Task<IReadOnlyList<Owed>> OweMorningsAsync(
        int count,
        Duration late,
        int inMinutes = 0
    )
    {
        // On the list since an hour: the morning of a minute ago is owed.
        await using var store = await OpenAsync(
            new ShiftedClock(TimeProvider.System, Now - Duration.FromHours(1))
        );
        var minute = (Now + Duration.FromMinutes(inMinutes - 1)).InUtc().LocalDateTime;
        var due = minute.Date.At(new LocalTime(minute.Hour, minute.Minute));
        var owed = new List<Owed>();
        for (var i = 0; i < count; i++)
        {
            var number = _owed.Count + i + 1;
            var to = await store.Subscribers.AddAsync(
                $"r{number}@example.com",
                Lawn(number) with
                {
                    Morning = true,
                    MessageTime = due.TimeOfDay,
                },
                Cancellation
            );
            var at = due.InUtc().ToInstant();
            owed.Add(
                new(
                    to!.Subscriber.Id,
                    MessageKind.Morning,
                    DueMorning.KeyOf(due.Date, to.Lawns[0].Id),
                    to.Subscriber.Email,
                    LedgerLine.Canary(number),
                    at,
                    at + late
                )
            );
        }

        _owed.AddRange(owed);
        return owed;
    }

    /// <summary>A message that the test itself brought about.</summary>
    public void Owe(Owed owed) => _owed.Add(owed);

    /// <summary>The goodbyes that leaving brought about are owed too; their keys are drawn by the program.</summary>
    public async Task OweGoodbyesAsync()
    {
        var leavers = _owed.Where(o => o.LeftAt is not null).ToDictionary(o => o.SubscriberId);
        foreach (var row in await RowsAsync())
        {
            if (
                row.Kind == MessageKind.Receipt
                && row.Key.StartsWith("goodbye:", StringComparison.Ordinal)
                && leavers.Remove(row.SubscriberId, out var leaver)
            )
            {
                _owed.Add(
                    new(
                        row.SubscriberId,
                        row.Kind,
                        row.Key,
                        leaver.Recipient,
                        "",
                        row.NotBefore,
                        row.NotAfter
                    )
                );
            }
        }

        Assert.Empty(leavers);
    }

    /// <summary>Changes what is owed, for example since a subscriber left or a window closed.</summary>
    public void Owes(Func<Owed, Owed> change)
    {
        for (var i = 0; i < _owed.Count; i++)
        {
            _owed[i] = change(_owed[i]);
        }
    }

    /// <summary>A lawn of which the program itself has nothing to say while the test runs.</summary>
    private static Lawn Lawn(long number) =>
        new()
        {
            Name = LedgerLine.Canary(number),
            Place = new("78205", "San Antonio", "TX", 29.42, -98.49, "Etc/UTC"),
            Grass = GrassKind.Bermuda,
            Morning = false,
            DigestDay = null,
            Alerts = false,
        };

    private OutboxMessage Message(Owed owed)
    {
        const string Line = "Grass and grass and grass and grass and grass and grass.\r\n";
        var id = $"{owed.Key.Replace('#', '.')}@example.org";
        return new()
        {
            SubscriberId = owed.SubscriberId,
            Kind = owed.Kind,
            Key = owed.Key,
            Recipient = owed.Recipient,
            EnvelopeSender = "bounces@example.org",
            MessageId = id,
            NotBefore = owed.NotBefore,
            NotAfter = owed.NotAfter,
            Content = Encoding.ASCII.GetBytes(
                $"From: lawn@example.org\r\nTo: {owed.Recipient}\r\nSubject: Mow from 10:00\r\n"
                    + $"Message-ID: <{id}>\r\n\r\nDry by 10:00 at {owed.Canary}.\r\n"
                    + string.Concat(Enumerable.Repeat(Line, Padding / Line.Length))
            ),
        };
    }
}
