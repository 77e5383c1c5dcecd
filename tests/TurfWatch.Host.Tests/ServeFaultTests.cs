using System.Diagnostics;
using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests;

/// <summary>
/// The real program while something outside it is broken: it says what and what to do, loses nothing,
/// sends nothing twice, and goes on by itself when the fault is gone.
/// </summary>
public sealed class ServeFaultTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_refused_login_degrades_health_burns_no_attempt_and_heals()
    {
        using var folder = new ScratchFolder();
        var refuses = true;
        var door = SmtpScript.Healthy with { Login = "keeper secret" };
        await using var smtp = FaultySmtp.Start(_ =>
            Volatile.Read(ref refuses)
                ? door.With(
                    SmtpStep.Auth,
                    SmtpFault.Say("535 5.7.8 Authentication credentials invalid")
                )
                : door
        );
        await QueueAsync(folder.Path);
        await using var service = ServeProcess.Start(
            folder.Path,
            [
                .. ServeProcess.Relay(smtp.Port),
                ("Mail:Smtp:Username", "keeper"),
                ("Mail:Smtp:Password", "secret"),
                ("Delivery:RelayPause", "00:00:01"),
            ]
        );

        var (status, text) = await service.UntilReadySaysAsync(t =>
            t.Contains("mail (since", StringComparison.Ordinal)
        );

        Assert.Equal(200, status);
        Assert.StartsWith("ready, degraded\n", text, StringComparison.Ordinal);
        Assert.Contains(": messages are not sent", text, StringComparison.Ordinal);
        Assert.DoesNotContain("keeper", text, StringComparison.Ordinal);
        Assert.Contains("refused the login of 'keeper'", service.Log, StringComparison.Ordinal);
        Assert.Contains("535", service.Log, StringComparison.Ordinal);
        Assert.Contains(
            "check Mail:Smtp:Username and PasswordFile",
            service.Log,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain("secret", text + service.Log, StringComparison.Ordinal);
        // Let it try more than once: the row must not pay for it.
        await service.UntilAsync(() => Task.FromResult(smtp.Connections >= 2));
        await service.UntilAsync(async () =>
            await RowAsync(folder.Path) is { State: OutboxState.Queued, Attempts: 0 }
        );
        Assert.Empty(smtp.Taken);

        Volatile.Write(ref refuses, false);
        await service.UntilAsync(async () =>
            (await RowAsync(folder.Path)).State == OutboxState.Sent
        );
        await service.UntilReadySaysAsync(t =>
            !t.Contains("mail (since", StringComparison.Ordinal)
        );
        await service.StopAsync();
        Assert.Equal("fault.1@example.org", Assert.Single(smtp.Taken).MessageId);
    }

    [Fact]
    public async Task A_full_disk_stops_the_sending_before_it_cannot_be_saved_and_heals()
    {
        Needs.That(
            Environment.IsPrivilegedProcess,
            "the test must mount a small file system: run it as root"
        );
        using var folder = new ScratchFolder();
        var mount = Path.Combine(folder.Path, "small");
        Directory.CreateDirectory(mount);
        Needs.That(
            Run("mount", "-t", "tmpfs", "-o", "size=24m", "tmpfs", mount) == 0,
            "this machine (a container without CAP_SYS_ADMIN?) does not let root mount a file system"
        );
        try
        {
            await using var smtp = FaultySmtp.Start();
            await QueueAsync(mount);
            var filler = Path.Combine(mount, "filler");
            await File.WriteAllBytesAsync(filler, new byte[17 << 20], Cancellation);
            await using var service = ServeProcess.Start(
                mount,
                [.. ServeProcess.Relay(smtp.Port), ("Store:MinFreeDiskMiB", "8")]
            );

            await service.UntilReadySaysAsync(t =>
                t.Contains("mail (since", StringComparison.Ordinal)
            );

            Assert.Contains(
                "No mail is sent until there is room",
                service.Log,
                StringComparison.Ordinal
            );
            Assert.Contains("make room", service.Log, StringComparison.Ordinal);
            Assert.Contains("Store:MinFreeDiskMiB", service.Log, StringComparison.Ordinal);
            Assert.Empty(smtp.Taken);
            Assert.Equal(OutboxState.Queued, (await RowAsync(mount)).State);

            File.Delete(filler);
            await service.UntilAsync(async () => (await RowAsync(mount)).State == OutboxState.Sent);
            await service.UntilReadySaysAsync(t =>
                !t.Contains("mail (since", StringComparison.Ordinal)
            );
            await service.StopAsync();
            Assert.Single(smtp.Taken);
        }
        finally
        {
            Run("umount", "-l", mount);
        }
    }

    [Fact]
    public async Task Weather_out_of_reach_degrades_health_and_the_message_says_so()
    {
        using var folder = new ScratchFolder();
        await using var smtp = FaultySmtp.Start();
        var now = Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
        // On the list since an hour: the morning of a minute ago is owed.
        var before = new ShiftedClock(TimeProvider.System, now - Duration.FromHours(1));
        await using (var store = await OpenAsync(folder.Path, before))
        {
            // Whatever the hour of the test, it is about eight there: the owner's hours are not over.
            var ahead = (8 - now.InUtc().Hour + 36) % 24 - 12;
            var place = Lawn.Place with
            {
                ZoneId = $"Etc/GMT{(ahead > 0 ? "-" : "+")}{Math.Abs(ahead)}",
            };
            var time = (now - Duration.FromMinutes(1)).InZone(place.Zone).TimeOfDay;
            await store.Subscribers.AddAsync(
                "pat@example.com",
                Lawn with
                {
                    Place = place,
                    MessageTime = new(time.Hour, time.Minute),
                },
                Cancellation
            );
        }

        await using var service = ServeProcess.Start(
            folder.Path,
            [
                .. ServeProcess.Relay(smtp.Port),
                ("Weather:Nws:Retries", "0"),
                ("Weather:NasaPower:Retries", "0"),
                // Until the services were asked in vain.
                ("Jobs:MorningWait", "00:00:05"),
                ("Jobs:MorningSweep", "00:00:01"),
            ]
        );

        var (status, text) = await service.UntilReadySaysAsync(t =>
            t.Contains("weather (since", StringComparison.Ordinal)
        );
        await service.UntilAsync(() => Task.FromResult(smtp.Taken.Count > 0));

        Assert.Equal(200, status);
        Assert.StartsWith("ready, degraded\n", text, StringComparison.Ordinal);
        Assert.Contains("could not be reached", service.Log, StringComparison.Ordinal);
        await service.StopAsync();
        using var content = new MemoryStream(Assert.Single(smtp.Taken).Content);
        using var mime = await MimeKit.MimeMessage.LoadAsync(content, Cancellation);
        Assert.Contains("no forecast", mime.Subject ?? "", StringComparison.Ordinal);
        var words = string.Join(
            ' ',
            (mime.TextBody ?? "").Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)
        );
        Assert.Contains(
            "US National Weather Service could not be reached.",
            words,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain("does not cover", words, StringComparison.Ordinal);
    }

    private static Lawn Lawn =>
        new()
        {
            Place = new("78205", "San Antonio", "TX", 29.42, -98.49, "Etc/UTC"),
            Grass = GrassKind.Bermuda,
        };

    private static Task<TurfStore> OpenAsync(string folder, TimeProvider? clock = null) =>
        TurfStore.OpenAsync(
            new() { DataDirectory = folder },
            clock ?? TimeProvider.System,
            Cancellation,
            StoreAccess.Beside
        );

    private static async Task QueueAsync(string folder)
    {
        await using var store = await OpenAsync(folder);
        var now = Instant.FromDateTimeOffset(TimeProvider.System.GetUtcNow());
        var farOff = (now + Duration.FromHours(12)).InUtc().TimeOfDay;
        var to = await store.Subscribers.AddAsync(
            "pat@example.com",
            Lawn with
            {
                MessageTime = new(farOff.Hour, farOff.Minute),
            },
            Cancellation
        );
        var message = new OutboxMessage
        {
            SubscriberId = to!.Subscriber.Id,
            Kind = MessageKind.Morning,
            Key = "fault#1",
            Recipient = "pat@example.com",
            EnvelopeSender = "bounces@example.org",
            MessageId = "fault.1@example.org",
            NotBefore = now,
            NotAfter = now + Duration.FromHours(3),
            Content = Encoding.ASCII.GetBytes(
                "From: lawn@example.org\r\nTo: pat@example.com\r\nSubject: Mow from 10:00\r\n"
                    + "Message-ID: <fault.1@example.org>\r\n\r\nDry by 10:00.\r\n"
            ),
        };
        Assert.Equal(1, await store.Outbox.EnqueueAsync([message], Cancellation));
    }

    private static async Task<OutboxMessage> RowAsync(string folder)
    {
        await using var store = await OpenAsync(folder);
        var rows = new List<OutboxMessage>();
        await foreach (var row in store.Outbox.ListAsync(Cancellation))
        {
            rows.Add(row);
        }

        return Assert.Single(rows);
    }

    private static int Run(string program, params string[] arguments)
    {
        using var process = Process.Start(program, arguments);
        process.WaitForExit();
        return process.ExitCode;
    }
}
