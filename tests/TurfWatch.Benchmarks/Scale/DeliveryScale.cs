using System.Diagnostics;
using System.Globalization;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Mail.Signing;
using TurfWatch.Store;
using TurfWatch.Testing;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>
/// A message's whole way: composed for its reader in text and HTML, committed, claimed, sent and settled, into Postfix's
/// smtp-sink; beside Postfix's own smtp-source, which has one message in memory and keeps nothing.
/// </summary>
internal static class DeliveryScale
{
    private const int Messages = 6_000;
    private const int Readers = 200;
    private const int Connections = 16;
    private const int Enqueued = 20;

    public static async Task RunAsync(string[] args)
    {
        var messages =
            args.Length > 0 ? int.Parse(args[0], CultureInfo.InvariantCulture) : Messages;
        using var keys = new ScratchFolder();
        var composer = new MessageComposer(Ware.Sender, LinkTokens.Open(keys.Path));
        var briefings = Ware.Briefings(20);
        var bytes = Compose(
            composer,
            briefings,
            new(1, "pat@example.com", SubscriberStatus.Active),
            0
        ).Content.Length;
        Console.WriteLine(
            $"  {messages} messages of {bytes} bytes over {Connections} connections; least bound and best of 3 each"
        );
        await using var postgres = await PostgresServer.StartAsync(default, durable: true);
        // Once for nothing: what is measured is code that the runtime has compiled in full.
        await using (var relay = new PostfixPair())
        {
            using var folder = new ScratchFolder();
            await OnceAsync(
                new() { DataDirectory = folder.Path },
                composer,
                briefings,
                relay.Port,
                Signing(keys.Path),
                Messages
            );
        }

        // By turns, so that what else the machine does falls on both alike.
        foreach (
            var (database, signed, aim) in new[]
            {
                ("SQLite", false, "0.40"),
                ("SQLite", true, "0.20"),
                ("PostgreSQL", false, "0.30"),
                ("PostgreSQL", true, "0.20"),
            }
        )
        {
            if (args is [_, var only] && only != $"{database}-{(signed ? "signed" : "plain")}")
            {
                continue;
            }

            var best = default(Times);
            for (var round = 0; round < 3; round++)
            {
                await using var relay = new PostfixPair();
                var bound = await relay.BoundAsync(messages, Connections, bytes);
                using var folder = new ScratchFolder();
                var options = new StoreOptions { DataDirectory = folder.Path };
                if (database == "PostgreSQL")
                {
                    options.Postgres = postgres.ConnectionString(
                        await postgres.NewDatabaseAsync(default)
                    );
                }

                var times = await OnceAsync(
                    options,
                    composer,
                    briefings,
                    relay.Port,
                    signed ? Signing(keys.Path) : null,
                    messages
                );
                times = times with { Bound = bound };
                if (times.Ratio > best.Ratio)
                {
                    best = times;
                }
            }

            Console.WriteLine(
                $"  {database, -10} {(signed ? "signed" : "plain"), -6} {best.Rate, 6:0}/s, smtp-source {best.Bound, 6:0}/s: ratio {best.Ratio:0.00} (aim {aim}); "
                    + $"{best.Processor * 1e6 / messages:0} µs of our processor a message"
            );
        }
    }

    private static async Task<Times> OnceAsync(
        StoreOptions options,
        MessageComposer composer,
        Briefing[] briefings,
        int port,
        DkimOptions? signing,
        int messages
    )
    {
        await using var store = await TurfStore.OpenAsync(options, TimeProvider.System, default);
        var readers = new List<Subscriber>();
        for (var i = 0; i < Readers; i++)
        {
            var added = await store.Subscribers.AddAsync(
                $"p{i}@h{i}.example.com",
                Ware.Lawn(i),
                default
            );
            readers.Add(added!.Subscriber);
        }

        using var signer = signing is null ? null : new DkimSigner(signing);
        await using var transport = new SmtpTransport(
            new()
            {
                Host = "127.0.0.1",
                Port = port,
                Security = MailSecurity.None,
                Connections = Connections,
            },
            TimeProvider.System,
            signer
        );
        using var sweep = new DeliverySweep(
            store,
            transport,
            TimeProvider.System,
            new()
            {
                PerSecond = 0,
                PerDomainPerSecond = 0,
                Connections = Connections,
            },
            NullLogger<DeliverySweep>.Instance,
            new Random(1)
        );
        var used = Environment.CpuUsage.TotalTime;
        var start = Stopwatch.GetTimestamp();
        // As in the service: messages are made while others are on their way.
        var making = Parallel.ForEachAsync(
            Enumerable.Range(0, messages).Chunk(Enqueued),
            new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount },
            async (chunk, cancel) =>
                await store.Outbox.EnqueueAsync(
                    [.. chunk.Select(i => Compose(composer, briefings, readers[i % Readers], i))],
                    cancel
                )
        );
        var sent = 0;
        while (sent < messages)
        {
            var made = making.IsCompleted;
            var report = await sweep.RunAsync(default);
            sent += report.Sent;
            if (report.Halted is not null || (made && sent < messages))
            {
                throw new InvalidOperationException(
                    $"{sent} of {messages} were sent; {report.Halted}"
                );
            }
        }

        await making;
        return new(
            Stopwatch.GetElapsedTime(start).TotalSeconds,
            (Environment.CpuUsage.TotalTime - used).TotalSeconds,
            0,
            messages
        );
    }

    private static OutboxMessage Compose(
        MessageComposer composer,
        Briefing[] briefings,
        Subscriber reader,
        int i
    )
    {
        var now = Ware.Clock;
        return composer.Compose(
            briefings[i % briefings.Length],
            reader,
            $"2025-05-31#{i}",
            now,
            now + Duration.FromHours(3)
        );
    }

    private static DkimOptions Signing(string folder)
    {
        var options = new DkimOptions
        {
            Domain = "example.org",
            Selector = "lawn2025",
            PrivateKeyFile = Path.Combine(folder, "dkim.pem"),
        };
        using var rsa = System.Security.Cryptography.RSA.Create(2048);
        File.WriteAllText(options.PrivateKeyFile, rsa.ExportPkcs8PrivateKeyPem());
        return options;
    }

    private readonly record struct Times(double Whole, double Processor, double Bound, int Messages)
    {
        public double Rate => Messages / Whole;

        public double Ratio => Bound > 0 ? Rate / Bound : 0;
    }
}
