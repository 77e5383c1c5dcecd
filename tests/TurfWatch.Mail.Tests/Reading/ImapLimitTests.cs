using System.Net;
using System.Net.Sockets;
using System.Text;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>A mailbox that never stops talking, or stops in the middle, costs no more than a bounded amount of memory and time.</summary>
public sealed class ImapLimitTests
{
    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Endless_answers_end_the_connection_with_a_sentence()
    {
        long sent = 0;
        await using var server = new RawServer(
            async (stream, cancel) =>
            {
                await SayAsync(stream, "* OK [CAPABILITY IMAP4rev1] ready\r\n", cancel);
                var line = Encoding.ASCII.GetBytes(
                    string.Concat(Enumerable.Repeat("* OK still here\r\n", 500))
                );
                while (true)
                {
                    await stream.WriteAsync(line, cancel);
                    sent += line.Length;
                }
            }
        );

        var e = await FailAsync(server.Port, TimeSpan.FromSeconds(60));

        Assert.Contains("says more than it was asked", e.Message, StringComparison.Ordinal);
        Assert.Contains(
            $"the mailbox's answer is longer than {(64 + 1024) * 1024} bytes",
            e.Message,
            StringComparison.Ordinal
        );
        // What the sockets hold on top of what was read is the system's affair.
        Assert.InRange(sent, (64 + 1024) * 1024, 64 << 20);
    }

    [Fact]
    public async Task Silence_in_the_middle_of_an_answer_ends_with_the_limit_of_the_command()
    {
        await using var server = new RawServer(
            async (stream, cancel) =>
            {
                await SayAsync(stream, "* OK [CAPABILITY IMAP4rev1] ready\r\n", cancel);
                using var reader = new StreamReader(stream, Encoding.ASCII, leaveOpen: true);
                while (await reader.ReadLineAsync(cancel) is { } line)
                {
                    var tag = line.Split(' ')[0];
                    if (line.Contains("LOGIN", StringComparison.Ordinal))
                    {
                        await SayAsync(stream, $"{tag} OK [CAPABILITY IMAP4rev1] in\r\n", cancel);
                    }
                    else if (line.Contains("NOOP", StringComparison.Ordinal))
                    {
                        await SayAsync(stream, "* 1 EXI", cancel);
                    }
                    else if (line.Contains("SELECT", StringComparison.Ordinal))
                    {
                        await SayAsync(
                            stream,
                            $"* 0 EXISTS\r\n* OK [UIDVALIDITY 1] ok\r\n{tag} OK [READ-WRITE] open\r\n",
                            cancel
                        );
                    }
                    else
                    {
                        await SayAsync(
                            stream,
                            $"* LIST () \"/\" INBOX\r\n{tag} OK done\r\n",
                            cancel
                        );
                    }
                }
            }
        );

        var e = await FailAsync(server.Port, TimeSpan.FromSeconds(1));

        Assert.Contains(
            "did not answer in time: no answer from the mailbox within 1 s",
            e.Message,
            StringComparison.Ordinal
        );
    }

    private static async Task<MailboxException> FailAsync(int port, TimeSpan command)
    {
        var options = new InboxOptions
        {
            Host = "127.0.0.1",
            Port = port,
            Security = MailSecurity.None,
            Username = "lawn",
            Password = "any",
            Address = "lawn@example.org",
            MaxKilobytes = 64,
            CommandTimeout = command,
        };
        await using var mailbox = new ImapMailbox(
            options,
            new SenderOptions { FromAddress = "lawn@example.org" },
            TimeProvider.System
        );
        return await Assert.ThrowsAsync<MailboxException>(async () =>
        {
            await foreach (var _ in mailbox.NewAsync(Cancel))
            {
                // Nothing comes.
            }
        });
    }

    private static async Task SayAsync(Stream stream, string text, CancellationToken cancel) =>
        await stream.WriteAsync(Encoding.ASCII.GetBytes(text), cancel);

    /// <summary>One connection, and whatever is to be said on it.</summary>
    private sealed class RawServer : IAsyncDisposable
    {
        private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
        private readonly CancellationTokenSource _stop = new();
        private readonly Task _talk;

        public RawServer(Func<NetworkStream, CancellationToken, Task> talk)
        {
            _listener.Start();
            _talk = TalkAsync(talk);
        }

        public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

        public async ValueTask DisposeAsync()
        {
            await _stop.CancelAsync();
            _listener.Stop();
            await _talk;
            _stop.Dispose();
        }

        private async Task TalkAsync(Func<NetworkStream, CancellationToken, Task> talk)
        {
            try
            {
                using var client = await _listener.AcceptTcpClientAsync(_stop.Token);
                await talk(client.GetStream(), _stop.Token);
            }
            catch (Exception e)
                when (e is IOException or SocketException or OperationCanceledException)
            {
                // The other side has hung up, as it should.
            }
        }
    }
}
