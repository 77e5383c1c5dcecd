using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using System.Runtime.CompilerServices;

namespace TurfWatch.Testing;

/// <summary>A wire on this machine that can go dead or be cut: between a program and a server that it talks to.</summary>
public sealed class TcpProxy : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentBag<Task> _wires = [];
    private readonly int _target;
    private readonly Task _accepting;
    private volatile bool _dead;
    private volatile Func<ReadOnlyMemory<byte>, bool>? _cutAfter;
    private int _cuts;

    private TcpProxy(int target)
    {
        _target = target;
        _listener.Start();
        _accepting = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>Wires that were cut.</summary>
    public int Cuts => Volatile.Read(ref _cuts);

    /// <summary>Whether nothing passes, in neither direction, and nobody is told (a cable pulled, a firewall's silence).</summary>
    public bool Dead
    {
        get => _dead;
        set => _dead = value;
    }

    public static TcpProxy Start(int target) => new(target);

    /// <summary>
    /// From now on a wire is cut when what its client sends fits: that is still passed on, the answer is not. Null: no more.
    /// </summary>
    public void CutAfter(Func<ReadOnlyMemory<byte>, bool>? fits) => _cutAfter = fits;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Stop();
        await _accepting;
        await Task.WhenAll(_wires);
        _stop.Dispose();
    }

    private async Task AcceptAsync()
    {
        while (!_stop.IsCancellationRequested)
        {
            try
            {
                _wires.Add(WireAsync(await _listener.AcceptSocketAsync(_stop.Token)));
            }
            catch (Exception e)
                when (e is OperationCanceledException or SocketException or ObjectDisposedException)
            {
                return;
            }
        }
    }

    private async Task WireAsync(Socket client)
    {
        using var closing = client;
        using var server = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        client.NoDelay = true;
        using var cut = CancellationTokenSource.CreateLinkedTokenSource(_stop.Token);
        try
        {
            await server.ConnectAsync(IPAddress.Loopback, _target, cut.Token);
            var mute = new StrongBox<bool>();
            await Task.WhenAny(
                PassAsync(client, server, watched: true, mute, cut),
                PassAsync(server, client, watched: false, mute, cut)
            );
        }
        catch (Exception e) when (e is SocketException or OperationCanceledException)
        {
            // The server is away: the client sees a closed connection.
        }

        await cut.CancelAsync();
    }

    private async Task PassAsync(
        Socket from,
        Socket to,
        bool watched,
        StrongBox<bool> mute,
        CancellationTokenSource cut
    )
    {
        var buffer = new byte[16 * 1024];
        try
        {
            while (await from.ReceiveAsync(buffer, cut.Token) is var read and > 0)
            {
                while (_dead)
                {
                    await Task.Delay(50, cut.Token);
                }

                var snip = watched && _cutAfter?.Invoke(buffer.AsMemory(0, read)) == true;
                if (snip)
                {
                    // No answer may come back from here on; the wire stands until this is sent.
                    Volatile.Write(ref mute.Value, true);
                }
                else if (!watched && Volatile.Read(ref mute.Value))
                {
                    continue;
                }

                await to.SendAsync(buffer.AsMemory(0, read), cut.Token);
                if (snip)
                {
                    Interlocked.Increment(ref _cuts);
                    // Time for the server to do what it was sent.
                    await Task.Delay(100, cut.Token);
                    return;
                }
            }
        }
        catch (Exception e)
            when (e is SocketException or OperationCanceledException or ObjectDisposedException)
        {
            // One end is gone.
        }
    }
}
