using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>R23: under concurrency, each recipient gets its own message and nothing of another's.</summary>
public sealed class DeliveryIsolationTests
{
    private const int Count = 10_000;

    [Fact]
    public async Task Ten_thousand_messages_hold_no_word_of_another_recipients()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var bench = await DeliveryBench.StartAsync();
        var ann = (await bench.QueueAsync(1))[0];
        await bench.Store.Outbox.EnqueueAsync(
            [
                .. Enumerable
                    .Range(0, Count)
                    .Select(i =>
                        ann with
                        {
                            Key = $"canary#{i}",
                            Recipient = $"r{i}@example.com",
                            MessageId = $"canary{i}@example.org",
                            Content = Encoding.ASCII.GetBytes(
                                $"To: r{i}@example.com\r\n\r\ncanary-{i}-end\r\n"
                            ),
                        }
                    ),
            ],
            cancellation
        );
        var options = DeliveryBench.Unpaced(connections: 4);
        options.Batch = 1000;
        bench.Relay.Script = async (_, _) =>
        {
            await Task.Yield();
            return null;
        };

        var report = await bench.Sweep(options).RunAsync(cancellation);

        Assert.Equal(Count + 1, report.Sent);
        var canaries = bench.Relay.Taken.Where(m => m.Key != ann.Key).ToList();
        Assert.Equal(Count, canaries.Select(m => m.Recipient).Distinct().Count());
        foreach (var message in canaries)
        {
            var own = message.Recipient[
                1..message.Recipient.IndexOf('@', StringComparison.Ordinal)
            ];
            Assert.Equal($"canary#{own}", message.Key);
            Assert.Equal($"canary{own}@example.org", message.MessageId);
            Assert.Equal(
                $"To: {message.Recipient}\r\n\r\ncanary-{own}-end\r\n",
                Encoding.ASCII.GetString(message.Content)
            );
        }
    }
}
