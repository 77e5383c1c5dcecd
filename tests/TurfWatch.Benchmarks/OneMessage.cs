using System.Security.Cryptography;
using MimeKit;
using NodaTime;
using TurfWatch.Benchmarks.Scale;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Mail.Signing;
using TurfWatch.Store;
using TurfWatch.Testing;

namespace TurfWatch.Benchmarks;

/// <summary>
/// What one morning message costs before it meets the database and the relay, part by part; beside MimeKit reading and writing
/// the same message, which stands for the machine of the moment.
/// </summary>
internal static class OneMessage
{
    private const int Rounds = 4_000;
    private const int Turns = 5;

    public static async Task RunAsync()
    {
        using var keys = new ScratchFolder();
        var composer = new MessageComposer(Ware.Sender, LinkTokens.Open(keys.Path));
        var briefings = Ware.Briefings(20);
        var reader = new Subscriber(1, "pat@example.com", SubscriberStatus.Active);
        byte[] Compose(int i) =>
            composer
                .Compose(
                    briefings[i % briefings.Length],
                    reader,
                    $"2025-05-31#{i}",
                    Ware.Now,
                    Ware.Now + Duration.FromHours(3)
                )
                .Content;
        var messages = Enumerable.Range(0, briefings.Length).Select(Compose).ToArray();
        var packed = Array.ConvertAll(messages, OutboxRow.Zip);
        using var signer = Signer(keys.Path);
        Console.WriteLine(
            $"One morning message of {messages.Average(m => m.Length):0} bytes, {packed.Average(p => p.Length):0} packed; processor time (least of {Turns} times {Rounds})"
        );
        var unit = Time("read and written by MimeKit", null, i => Copy(messages[i % 20]));
        Time(
            "put into words, text and HTML",
            unit,
            i => composer.Render(briefings[i % 20], reader)
        );
        Time("composed, whole", unit, Compose);
        Time("packed", unit, i => OutboxRow.Zip(messages[i % 20]));
        Time("unpacked", unit, i => OutboxRow.Unzip(packed[i % 20]));
        Time("signed", unit, i => signer.Sign(messages[i % 20]));
        await SendAsync(messages[0], unit);
    }

    private static byte[] Copy(byte[] message)
    {
        using var parsed = MimeMessage.Load(new MemoryStream(message));
        using var written = new MemoryStream();
        parsed.WriteTo(written);
        return written.ToArray();
    }

    private static async Task SendAsync(byte[] content, double unit)
    {
        await using var relay = new PostfixPair();
        await using var transport = new SmtpTransport(
            new()
            {
                Host = "127.0.0.1",
                Port = relay.Port,
                Security = MailSecurity.None,
                Connections = 16,
            },
            TimeProvider.System
        );
        var message = new OutboxMessage
        {
            SubscriberId = 1,
            Kind = MessageKind.Morning,
            Key = "k",
            Recipient = "pat@example.com",
            EnvelopeSender = "lawn@example.org",
            MessageId = "m@example.org",
            NotBefore = Ware.Now,
            NotAfter = Ware.Now,
            Content = content,
        };
        var least = double.PositiveInfinity;
        for (var turn = 0; turn < Turns; turn++)
        {
            var used = Environment.CpuUsage.TotalTime;
            await Parallel.ForAsync(
                0,
                Rounds,
                new ParallelOptions { MaxDegreeOfParallelism = 16 },
                async (_, cancel) =>
                {
                    if (
                        await transport.SendAsync(message, cancel)
                        is not SendOutcome.Accepted { }
                            and var outcome
                    )
                    {
                        throw new InvalidOperationException($"smtp-sink refused it: {outcome}");
                    }
                }
            );
            least = Math.Min(
                least,
                (Environment.CpuUsage.TotalTime - used).TotalMicroseconds / Rounds
            );
        }

        Console.WriteLine(
            $"  {"handed to smtp-sink", -32} {least, 7:0} µs                     {least / unit, 5:0.00} of that"
        );
    }

    private static DkimSigner Signer(string folder)
    {
        using var rsa = RSA.Create(2048);
        var options = new DkimOptions
        {
            Domain = "example.org",
            Selector = "lawn2025",
            PrivateKeyFile = Path.Combine(folder, "dkim.pem"),
        };
        File.WriteAllText(options.PrivateKeyFile, rsa.ExportPkcs8PrivateKeyPem());
        return new(options);
    }

    /// <summary>Microseconds of one; beside <paramref name="unit"/> when given. Processor time: what is waited for counts for nothing.</summary>
    private static double Time(string what, double? unit, Func<int, object> run)
    {
        var least = double.PositiveInfinity;
        long bytes = 0;
        for (var turn = 0; turn < Turns; turn++)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            var used = Environment.CpuUsage.TotalTime;
            for (var i = 0; i < Rounds; i++)
            {
                GC.KeepAlive(run(i));
            }

            least = Math.Min(
                least,
                (Environment.CpuUsage.TotalTime - used).TotalMicroseconds / Rounds
            );
            bytes = (GC.GetAllocatedBytesForCurrentThread() - before) / Rounds;
        }

        var ratio = unit is { } one ? $"{least / one, 5:0.00} of that" : "";
        Console.WriteLine(
            $"  {what, -32} {least, 7:0} µs {bytes / 1024.0, 6:0} kB allocated {ratio}"
        );
        return least;
    }
}
