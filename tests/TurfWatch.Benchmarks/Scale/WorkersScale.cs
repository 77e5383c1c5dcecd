using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>Two workers on one PostgreSQL, each with two connections to a relay that takes 50 ms for each message.</summary>
internal static class WorkersScale
{
    private const int Messages = 600;
    private const int RelayTakesMs = 50;

    public static async Task RunAsync(string[] args)
    {
        await using var postgres = await PostgresServer.StartAsync(default, durable: true);
        using var keys = new ScratchFolder();
        var composer = new MessageComposer(Ware.Sender, LinkTokens.Open(keys.Path));
        var briefings = Ware.Briefings(4);
        var best = new double[2];
        for (var round = 0; round < 2; round++)
        {
            for (var workers = 1; workers <= 2; workers++)
            {
                var database = await postgres.NewDatabaseAsync(default);
                var options = new StoreOptions
                {
                    DataDirectory = keys.Path,
                    Postgres = postgres.ConnectionString(database),
                };
                await QueueAsync(options, composer, briefings);
                best[workers - 1] = Math.Max(best[workers - 1], await DrainAsync(options, workers));
            }
        }

        Console.WriteLine(
            $"  one worker {best[0]:0}/s, two {best[1]:0}/s: {best[1] / best[0]:0.00} times (the relay allows 2 x {1000 / RelayTakesMs} a worker)"
        );
    }

    private static async Task QueueAsync(
        StoreOptions options,
        MessageComposer composer,
        Briefing[] briefings
    )
    {
        await using var store = await TurfStore.OpenAsync(options, TimeProvider.System, default);
        var reader = (
            await store.Subscribers.AddAsync("pat@example.com", Ware.Lawn(0), default)
        )!.Subscriber;
        var now = Ware.Clock;
        await store.Outbox.EnqueueAsync(
            [
                .. Enumerable
                    .Range(0, Messages)
                    .Select(i =>
                        composer.Compose(
                            briefings[i % briefings.Length],
                            reader,
                            $"2025-05-31#{i}",
                            now,
                            now + Duration.FromHours(3)
                        )
                    ),
            ],
            default
        );
    }

    private static async Task<double> DrainAsync(StoreOptions options, int workers)
    {
        using var relay = new SlowRelay();
        var start = Stopwatch.GetTimestamp();
        var sent = await Task.WhenAll(
            Enumerable
                .Range(0, workers)
                .Select(async i =>
                {
                    await using var store = await TurfStore.OpenAsync(
                        options,
                        TimeProvider.System,
                        default
                    );
                    await using var transport = new SmtpTransport(
                        new()
                        {
                            Host = "127.0.0.1",
                            Port = relay.Port,
                            Security = MailSecurity.None,
                        },
                        TimeProvider.System
                    );
                    using var sweep = new DeliverySweep(
                        store,
                        transport,
                        TimeProvider.System,
                        new() { PerSecond = 0, PerDomainPerSecond = 0 },
                        NullLogger<DeliverySweep>.Instance,
                        new Random(i)
                    );
                    return (await sweep.RunAsync(default)).Sent;
                })
        );
        return sent.Sum() == Messages
            ? Messages / Stopwatch.GetElapsedTime(start).TotalSeconds
            : throw new InvalidOperationException($"{sent.Sum()} of {Messages} were sent");
    }

    /// <summary>Takes everything, and its time for the last answer.</summary>
    private sealed class SlowRelay : IDisposable
    {
        private readonly TcpListener _listener = new(IPAddress.Loopback, 0);

        public SlowRelay()
        {
            _listener.Start();
            _ = AcceptAsync();
        }

        public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

        public void Dispose() => _listener.Dispose();

        private async Task AcceptAsync()
        {
            try
            {
                while (true)
                {
                    _ = ServeAsync(await _listener.AcceptTcpClientAsync());
                }
            }
            catch (Exception e) when (e is SocketException or ObjectDisposedException)
            {
                // Closed.
            }
        }

        private static async Task ServeAsync(TcpClient client)
        {
            using var held = client;
            client.NoDelay = true;
            using var reader = new StreamReader(client.GetStream());
            await using var writer = new StreamWriter(client.GetStream())
            {
                AutoFlush = true,
                NewLine = "\r\n",
            };
            await writer.WriteLineAsync("220 slow");
            while (await reader.ReadLineAsync() is { } line)
            {
                if (line == "DATA")
                {
                    await writer.WriteLineAsync("354 go on");
                    while (await reader.ReadLineAsync() is { } text && text != ".") { }

                    await Task.Delay(RelayTakesMs);
                }

                await writer.WriteLineAsync(line == "QUIT" ? "221 bye" : "250 ok");
            }
        }
    }
}
