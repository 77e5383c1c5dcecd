using System.Diagnostics;
using System.Net;
using System.Net.Sockets;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>Postfix's smtp-sink, which throws mail away, and smtp-source, which sends it as fast as the two can: the physical bound.</summary>
internal sealed class PostfixPair : IAsyncDisposable
{
    private readonly Process _sink;

    /// <param name="more">More of smtp-sink's options.</param>
    public PostfixPair(params string[] more)
    {
        Port = Machine.FreePort();
        string[] user = Environment.IsPrivilegedProcess ? ["-u", "nobody"] : [];
        _sink = Process.Start(
            Machine.Program("smtp-sink", "postfix"),
            [.. user, .. more, $"127.0.0.1:{Port}", "200"]
        );
        for (var attempt = 0; ; attempt++)
        {
            try
            {
                using var probe = new TcpClient();
                probe.Connect(IPAddress.Loopback, Port);
                return;
            }
            catch (SocketException) when (attempt < 200)
            {
                Thread.Sleep(20);
            }
        }
    }

    public int Port { get; }

    /// <summary>Messages a second of <paramref name="bytes"/> each over so many kept connections.</summary>
    public async Task<double> BoundAsync(int messages, int connections, int bytes)
    {
        var start = Stopwatch.GetTimestamp();
        using var source = Process.Start(
            Machine.Program("smtp-source", "postfix"),
            [
                "-d",
                "-s",
                $"{connections}",
                "-m",
                $"{messages}",
                "-l",
                $"{bytes}",
                "-f",
                "lawn@example.org",
                "-t",
                "pat@example.com",
                $"127.0.0.1:{Port}",
            ]
        );
        await source.WaitForExitAsync();
        return source.ExitCode == 0
            ? messages / Stopwatch.GetElapsedTime(start).TotalSeconds
            : throw new InvalidOperationException($"smtp-source failed ({source.ExitCode})");
    }

    public async ValueTask DisposeAsync()
    {
        _sink.Kill();
        await _sink.WaitForExitAsync();
        _sink.Dispose();
    }
}
