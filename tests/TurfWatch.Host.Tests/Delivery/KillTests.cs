using System.Diagnostics;
using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Delivery;

/// <summary>
/// The real program, a real SMTP conversation, and SIGKILL (fault P1). The server notes each message before
/// it answers, so what it holds is what was delivered, whatever the sender came to know.
/// </summary>
public sealed class KillTests
{
    private const int Count = 200;
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Killed_twice_during_200_messages_it_delivers_each_once_or_says_unknown()
    {
        using var folder = new ScratchFolder();
        // Taken, and the 250 a little late: a kill often falls between the two.
        await using var smtp = FaultySmtp.Start(
            SmtpScript.Healthy.With(
                SmtpStep.Dot,
                SmtpFault.Late(TimeSpan.FromMilliseconds(40)) with
                {
                    TakeFirst = true,
                }
            )
        );
        await QueueAsync(folder.Path);
        var log = new StringBuilder();

        foreach (var killAt in new[] { 37, 121 })
        {
            using var service = Start(folder.Path, smtp.Port, log);
            await UntilAsync(() => smtp.Taken.Count >= killAt, service, log);
            service.Kill();
            await service.WaitForExitAsync(Cancellation);
            Assert.Equal(128 + 9, service.ExitCode);
            Assert.True(smtp.Taken.Count < Count, "it was killed only after all was delivered");
        }

        using var last = Start(folder.Path, smtp.Port, log);
        await UntilAsync(() => SettledAsync(folder.Path).GetAwaiter().GetResult(), last, log);
        await StopAsync(last, log);

        var copies = smtp.Taken.GroupBy(m => m.MessageId).ToDictionary(g => g.Key, g => g.Count());
        var unknown = 0;
        await foreach (var row in RowsAsync(folder.Path))
        {
            var delivered = copies.GetValueOrDefault(row.MessageId);
            switch (row.State)
            {
                case OutboxState.Sent:
                    Assert.Equal((row.MessageId, 1), (row.MessageId, delivered));
                    break;
                case OutboxState.Unknown:
                    unknown++;
                    Assert.InRange(delivered, 0, 1);
                    break;
                default:
                    Assert.Fail($"{row.MessageId} is {row.State}: {row.LastReply}\n{log}");
                    break;
            }
        }

        // Two kills, two transactions at a time at most.
        Assert.InRange(unknown, 0, 4);
        Assert.InRange(copies.Count, Count - unknown, Count);
        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{Count} messages, 2 kills: {copies.Count} delivered once, {unknown} rows unknown, "
                + $"of which {copies.Count - (Count - unknown)} had arrived"
        );
    }

    private static async Task QueueAsync(string folder)
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder },
            TimeProvider.System,
            Cancellation
        );
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
        for (var i = 0; i < Count; i++)
        {
            var to = await store.Subscribers.AddAsync($"r{i}@example.com", lawn, Cancellation);
            messages.Add(
                new()
                {
                    SubscriberId = to!.Subscriber.Id,
                    Kind = MessageKind.Morning,
                    Key = $"kill#{i}",
                    Recipient = to.Subscriber.Email,
                    EnvelopeSender = "bounces@example.org",
                    MessageId = $"kill.{i}@example.org",
                    NotBefore = now,
                    NotAfter = now + Duration.FromHours(3),
                    Content = Encoding.ASCII.GetBytes(
                        $"From: lawn@example.org\r\nTo: {to.Subscriber.Email}\r\nSubject: Mow from 10:00\r\n"
                            + $"Message-ID: <kill.{i}@example.org>\r\n\r\nDry by 10:00.\r\n"
                    ),
                }
            );
        }

        Assert.Equal(Count, await store.Outbox.EnqueueAsync(messages, Cancellation));
    }

    private static Process Start(string folder, int port, StringBuilder log)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            ArgumentList = { Path.Combine(AppContext.BaseDirectory, "turfwatch.dll"), "serve" },
            WorkingDirectory = folder,
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (
            var (key, value) in new[]
            {
                ("Store__DataDirectory", folder),
                ("Weather__Contact", "test@example.org"),
                // Nothing listens there: the weather is out of reach, and the tests need no network.
                ("Weather__Nws__BaseAddress", "http://127.0.0.1:9/"),
                ("Weather__NasaPower__BaseAddress", "http://127.0.0.1:9/"),
                ("Mail__Smtp__Host", "127.0.0.1"),
                ("Mail__Smtp__Port", $"{port}"),
                ("Mail__Smtp__Security", "None"),
                ("Mail__Sender__FromAddress", "lawn@example.org"),
                ("Mail__Sender__PostalAddress", "1 Test Street, Testville"),
                ("Mail__Sender__PublicBaseUrl", "https://lawn.example.org"),
                ("Web__Listen", "http://127.0.0.1:0"),
                ("Jobs__DeliverSweep", "00:00:01"),
                ("Delivery__PerSecond", "0"),
                ("Delivery__PerDomainPerSecond", "0"),
            }
        )
        {
            start.Environment["TurfWatch__" + key] = value;
        }

        var process = Process.Start(start)!;
        process.OutputDataReceived += (_, line) => Append(line.Data);
        process.ErrorDataReceived += (_, line) => Append(line.Data);
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return process;

        void Append(string? line)
        {
            lock (log)
            {
                log.AppendLine(line);
            }
        }
    }

    private static async Task UntilAsync(Func<bool> done, Process service, StringBuilder log)
    {
        var started = TimeProvider.System.GetTimestamp();
        while (!done())
        {
            Assert.False(service.HasExited, $"the service ended by itself:\n{log}");
            Assert.True(
                TimeProvider.System.GetElapsedTime(started) < Patience,
                $"not done after {Patience}:\n{log}"
            );
            await Task.Delay(5, Cancellation);
        }
    }

    private static async Task<bool> SettledAsync(string folder)
    {
        await foreach (var row in RowsAsync(folder))
        {
            if (row.State is OutboxState.Queued or OutboxState.Claimed or OutboxState.Sending)
            {
                return false;
            }
        }

        return true;
    }

    private static async IAsyncEnumerable<OutboxMessage> RowsAsync(string folder)
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder },
            TimeProvider.System,
            Cancellation,
            StoreAccess.Beside
        );
        await foreach (var row in store.Outbox.ListAsync(Cancellation))
        {
            yield return row;
        }
    }

    private static async Task StopAsync(Process service, StringBuilder log)
    {
        using var term = Process.Start("kill", ["-TERM", $"{service.Id}"]);
        await term.WaitForExitAsync(Cancellation);
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        limit.CancelAfter(TimeSpan.FromSeconds(30));
        await service.WaitForExitAsync(limit.Token);
        Assert.True(service.ExitCode == 0, $"exit code {service.ExitCode}:\n{log}");
    }
}
