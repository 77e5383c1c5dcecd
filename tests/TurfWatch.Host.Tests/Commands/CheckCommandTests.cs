using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Store;
using TurfWatch.Testing;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class CheckCommandTests(ITestOutputHelper output) : IDisposable
{
    private static readonly Instant Now = Instant.FromDateTimeOffset(
        TimeProvider.System.GetUtcNow()
    );

    private readonly Scratch _scratch = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task With_everything_there_it_says_that_nothing_is_wrong()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();

        var answer = await CheckAsync(weather.Url, smtp.Port);

        Assert.Equal(0, answer.Exit);
        Assert.Contains("the relay 127.0.0.1 answers", answer.Out, StringComparison.Ordinal);
        Assert.Contains("no messages yet", answer.Out, StringComparison.Ordinal);
        Assert.Contains("OpenMeteo is not asked", answer.Out, StringComparison.Ordinal);
        Assert.EndsWith("Nothing is wrong.\n", answer.Out, StringComparison.Ordinal);
        Assert.Empty(smtp.Taken);
    }

    [Fact]
    public async Task With_nothing_there_it_names_each_thing_and_what_to_do()
    {
        var answer = await CheckAsync("http://127.0.0.1:9", 9);

        Assert.Equal(1, answer.Exit);
        Assert.Contains(
            "the relay 127.0.0.1:9 cannot be reached",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.Contains("Weather:Nws:BaseAddress", answer.Out, StringComparison.Ordinal);
        Assert.Contains("Weather:NasaPower:BaseAddress", answer.Out, StringComparison.Ordinal);
        Assert.EndsWith("3 things are wrong.\n", answer.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_waits_too_long_and_what_went_wrong_is_listed_without_an_address()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();
        await FillAsync();

        var answer = await CheckAsync(weather.Url, smtp.Port);

        Assert.Equal(0, answer.Exit);
        Assert.Contains("1 queued, 1 dead, 1 unknown", answer.Out, StringComparison.Ordinal);
        Assert.Contains("for 40 minutes", answer.Out, StringComparison.Ordinal);
        Assert.Contains("may or may not have arrived", answer.Out, StringComparison.Ordinal);
        Assert.Contains("550 5.1.1 no such user", answer.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("gone@example.com", answer.Out, StringComparison.Ordinal);
    }

    private async Task<CliAnswer> CheckAsync(string weather, int relay)
    {
        var config = _scratch.Write(
            "check.json",
            $$"""
            {
              "Weather": {
                "Contact": "ops@example.org",
                "Nws": { "BaseAddress": "{{weather}}" },
                "NasaPower": { "BaseAddress": "{{weather}}" }
              },
              "Mail": {
                "Smtp": { "Host": "127.0.0.1", "Port": {{relay}}, "Security": "None" },
                "Sender": {
                  "FromAddress": "lawn@example.org",
                  "PostalAddress": "1 Test Street, Testville",
                  "PublicBaseUrl": "https://lawn.example.org"
                }
              },
              "Store": { "DataDirectory": "{{_scratch.Folder}}/data", "MinFreeDiskMiB": 1 }
            }
            """
        );
        var answer = await Cli.RunAsync(_scratch, TimeProvider.System, "check", "--config", config);
        output.WriteLine(answer.Out + answer.Error);
        return answer;
    }

    private async Task FillAsync()
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = Path.Combine(_scratch.Folder, "data") },
            TimeProvider.System,
            Cancellation
        );
        var lawn = new Lawn
        {
            Place = ZipDirectory.Lookup("85719").Place!,
            Grass = GrassKind.Bermuda,
        };
        foreach (var name in new[] { "gone", "lost", "late" })
        {
            var to = await store.Subscribers.AddAsync($"{name}@example.com", lawn, Cancellation);
            await store.Outbox.EnqueueAsync(
                [
                    new()
                    {
                        SubscriberId = to!.Subscriber.Id,
                        Kind = MessageKind.Morning,
                        Key = name,
                        Recipient = to.Subscriber.Email,
                        EnvelopeSender = "bounces@example.org",
                        MessageId = $"{name}@example.org",
                        NotBefore = Now - Duration.FromMinutes(40),
                        NotAfter = Now + Duration.FromHours(2),
                        Content = Encoding.ASCII.GetBytes("Subject: x\r\n\r\nx\r\n"),
                    },
                ],
                Cancellation
            );
        }

        var lease = Duration.FromMinutes(1);
        var claimed = await store.Outbox.ClaimAsync("test", 2, lease, Cancellation);
        await SettleAsync(claimed[0], OutboxOutcome.Refused("550 5.1.1 no such user"));
        await SettleAsync(claimed[1], OutboxOutcome.Unknown("the connection broke after the dot"));

        async Task SettleAsync(OutboxMessage row, OutboxOutcome outcome)
        {
            await store.Outbox.BeginSendingAsync(row, lease, Cancellation);
            Assert.True(await store.Outbox.CompleteAsync(row, outcome, Cancellation));
        }
    }
}
