using System.Net;
using System.Net.Sockets;
using System.Text;
using TurfWatch.Testing;
using static TurfWatch.Mail.Tests.SmtpRows;

namespace TurfWatch.Mail.Tests;

/// <summary>What is written to a relay goes out together, when an answer is wanted, and never after it was given up.</summary>
public sealed class SmtpGatheringTests : IAsyncDisposable
{
    private readonly Socket _relay;
    private readonly ReplyLimitStream _inner;
    private readonly GatheredStream _stream;

    public SmtpGatheringTests()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        var socket = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        socket.Connect(listener.LocalEndpoint);
        _relay = listener.AcceptSocket();
        _relay.ReceiveTimeout = 5_000;
        _inner = new ReplyLimitStream(socket);
        _stream = new GatheredStream(_inner);
    }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask DisposeAsync()
    {
        await _stream.DisposeAsync();
        _relay.Dispose();
    }

    [Fact]
    public async Task What_is_written_goes_out_when_an_answer_is_wanted()
    {
        await _stream.WriteAsync("MAIL\r\n"u8.ToArray(), Ct);
        await _stream.WriteAsync("RCPT\r\n"u8.ToArray(), Ct);
        await _stream.FlushAsync(Ct);
        Assert.Equal(0, _relay.Available);
        Assert.Equal(12, _stream.Unsent);

        var answer = _stream.ReadAsync(new byte[10], Ct).AsTask();
        var taken = new byte[100];
        Assert.Equal("MAIL\r\nRCPT\r\n", Encoding.ASCII.GetString(taken, 0, _relay.Receive(taken)));
        Assert.Equal(0, _stream.Unsent);
        _relay.Send("250\r\n"u8);
        Assert.Equal(5, await answer);
    }

    [Fact]
    public async Task Much_of_it_goes_out_in_order_before()
    {
        var much = new byte[100_000];
        new Random(1).NextBytes(much);
        for (var at = 0; at < much.Length; at += 4096)
        {
            await _stream.WriteAsync(much.AsMemory(at, Math.Min(4096, much.Length - at)), Ct);
        }

        Assert.InRange(_stream.Unsent, 1, 32 * 1024);
        var answer = _stream.ReadAsync(new byte[10], Ct).AsTask();
        var taken = new byte[much.Length];
        for (var at = 0; at < taken.Length; )
        {
            at += _relay.Receive(taken.AsSpan(at));
        }

        Assert.Equal(much, taken);
        _relay.Send("250\r\n"u8);
        Assert.Equal(5, await answer);
    }

    [Fact]
    public async Task What_was_given_up_is_never_sent_not_even_with_a_good_bye()
    {
        await _stream.WriteAsync("the end of a message\r\n.\r\n"u8.ToArray(), Ct);
        _stream.Write([1, 2, 3], 0, 3); // as an SslStream ends its talk when it is disposed of
        await _stream.DisposeAsync();
        Assert.Equal(0, _relay.Receive(new byte[100]));
    }

    [Fact]
    public async Task What_the_system_did_not_take_is_known_not_to_be_sent()
    {
        _relay.Dispose();
        await _stream.WriteAsync("a message\r\n"u8.ToArray(), Ct);
        using var gaveUp = new CancellationTokenSource();
        await gaveUp.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(async () =>
            Assert.Equal(0, await _stream.ReadAsync(new byte[10], gaveUp.Token))
        );
        Assert.True(_stream.Unsent > 0);
    }

    [Fact]
    public async Task A_relay_that_takes_nothing_more_of_a_long_body_has_not_taken_the_message()
    {
        await using var server = FaultySmtp.Start(
            SmtpScript.Healthy.With(SmtpStep.Body, SmtpFault.DropAfter(200_000))
        );
        await using var transport = Transport(server);
        Assert.IsType<SendOutcome.Temporary>(
            await transport.SendAsync(Row(padding: 20_000_000), Ct)
        );
        Assert.Empty(server.Taken);
    }
}
