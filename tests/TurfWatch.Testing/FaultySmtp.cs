using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;

namespace TurfWatch.Testing;

/// <summary>One message that the server took.</summary>
/// <param name="MessageId">Its Message-ID, without brackets.</param>
/// <param name="Sender">Envelope sender.</param>
/// <param name="Recipient">Envelope recipients, comma-separated.</param>
/// <param name="Content">The bytes as received, dot-unstuffed.</param>
/// <param name="BegunAt">When its MAIL command came.</param>
public sealed record SmtpDelivery(
    string MessageId,
    string Sender,
    string Recipient,
    byte[] Content,
    DateTimeOffset BegunAt
);

/// <summary>
/// An SMTP server on a free loopback port that misbehaves by script, connection by connection. With a
/// ledger file, each taken message is a line there (<see cref="LedgerLine"/>), on disk before the
/// sender hears of it, so that it can be read after the sender or this process was killed.
/// </summary>
public sealed class FaultySmtp : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly Func<int, SmtpScript> _script;
    private readonly FileStream? _ledger;
    private readonly ConcurrentQueue<SmtpDelivery> _taken = new();
    private readonly ConcurrentQueue<string> _commands = new();
    private readonly ConcurrentBag<Task> _sessions = [];
    private readonly Task _accepting;
    private int _connections;

    private FaultySmtp(Func<int, SmtpScript> script, string? ledgerPath)
    {
        _script = script;
        _ledger = ledgerPath is null
            ? null
            : new FileStream(ledgerPath, FileMode.Append, FileAccess.Write, FileShare.Read);
        // Else a whole message of megabytes fits between sender and server, and is out before a drop is noticed.
        _listener.Server.ReceiveBufferSize = 64 * 1024;
        _listener.Start();
        _accepting = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>Connections so far.</summary>
    public int Connections => Volatile.Read(ref _connections);

    /// <summary>Messages taken so far, in order.</summary>
    public IReadOnlyList<SmtpDelivery> Taken => [.. _taken];

    /// <summary>How many that is.</summary>
    public int TakenCount => _taken.Count;

    /// <summary>Command lines of all connections, each after its connection's number and "clear" or "tls": <c>1 clear EHLO me</c>.</summary>
    public IReadOnlyList<string> Commands => [.. _commands];

    /// <param name="script">Behaviour of connection 1, 2, …; null means healthy.</param>
    /// <param name="ledgerPath">File to append to; null means none.</param>
    public static FaultySmtp Start(
        Func<int, SmtpScript>? script = null,
        string? ledgerPath = null
    ) => new(script ?? (_ => SmtpScript.Healthy), ledgerPath);

    /// <summary>The same behaviour on every connection.</summary>
    public static FaultySmtp Start(SmtpScript script, string? ledgerPath = null) =>
        new(_ => script, ledgerPath);

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Stop();
        await _accepting;
        await Task.WhenAll(_sessions);
        _ledger?.Dispose();
        _stop.Dispose();
    }

    internal void Log(string line) => _commands.Enqueue(line);

    internal int Take(SmtpDelivery delivery)
    {
        lock (_taken)
        {
            if (_ledger is not null)
            {
                _ledger.Write(LedgerLine.Of(delivery, TimeProvider.System.GetUtcNow()).ToBytes());
                _ledger.Flush(flushToDisk: true);
            }

            _taken.Enqueue(delivery);
            return _taken.Count;
        }
    }

    private async Task AcceptAsync()
    {
        while (!_stop.IsCancellationRequested)
        {
            Socket socket;
            try
            {
                socket = await _listener.AcceptSocketAsync(_stop.Token);
            }
            catch (Exception e)
                when (e is OperationCanceledException or SocketException or ObjectDisposedException)
            {
                return;
            }

            var number = Interlocked.Increment(ref _connections);
            socket.NoDelay = true;
            _sessions.Add(RunAsync(socket, number));
        }
    }

    private async Task RunAsync(Socket socket, int number)
    {
        using var closing = socket;
        try
        {
            using var session = new SmtpSession(this, socket, number, _script(number));
            await session.RunAsync(_stop.Token);
        }
        catch (Exception e)
            when (e
                    is IOException
                        or SocketException
                        or OperationCanceledException
                        or ObjectDisposedException
                        or System.Security.Authentication.AuthenticationException
            )
        {
            // The client went away or the test is over.
        }
    }
}
