using System.Text;
using MailKit;
using MailKit.Net.Imap;
using MailKit.Net.Smtp;
using MailKit.Search;
using MailKit.Security;
using MimeKit;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Fuzz.Targets;

/// <summary>
/// A relay and a mailbox that say anything. The library reads their answers; what it throws must be among what we
/// expect, or one bad answer would pass for a defect of ours, and what we say of it must fit a line of a log.
/// </summary>
internal static class ServerTargets
{
    private static readonly SmtpOptions Smtp = new() { Host = "relay.example.org" };

    private static readonly InboxOptions Imap = new()
    {
        Host = "imap.example.org",
        Username = "lawn",
    };

    private static readonly MimeMessage Message = new(
        [new MailboxAddress("", "lawn@example.org")],
        [new MailboxAddress("", "pat@example.com")],
        "Mow now",
        new TextPart("plain") { Text = "Mow now.\n" }
    );

    public static IEnumerable<FuzzTarget> Make()
    {
        yield return new("smtp-text", Reply)
        {
            Words = ["try again in", "retry after", "minutes", "@", "5.1.1"],
        };
        yield return new("smtp-session", SmtpSession, typeof(ToldException))
        {
            Words =
            [
                "250-",
                "250 ",
                "354 ",
                "421 ",
                "550 ",
                "SIZE",
                "PIPELINING",
                "AUTH",
                "CHUNKING",
                "\r\n",
            ],
        };
        yield return new("imap-session", ImapSession, typeof(ToldException))
        {
            Words =
            [
                "* ",
                "{tag} OK",
                "{tag} NO",
                "{tag} BAD",
                "FETCH",
                "UID",
                "{10}",
                "{99999999999}",
                "BYE",
                "CAPABILITY",
                "\r\n",
            ],
        };
    }

    private static void Reply(byte[] input)
    {
        var text = Encoding.UTF8.GetString(input);
        OneLine(SmtpReplies.OneLine(text));
        var hint = SmtpReplies.RetryHint(text);
        Promise.Holds(
            hint is null || (hint >= TimeSpan.Zero && hint <= TimeSpan.FromDays(1)),
            "a wait of more than a day"
        );
    }

    private static void SmtpSession(byte[] input)
    {
        using var client = new SmtpClient { CheckCertificateRevocation = false };
        Talk(
            input,
            async stream =>
            {
                await client.ConnectAsync(stream, Smtp.Host, 25, SecureSocketOptions.None);
                await client.SendAsync(Message);
                await client.DisconnectAsync(true);
            },
            e => SmtpFailure.IsExpected(e, CancellationToken.None),
            e =>
                e is SmtpCommandException refused
                    ? SmtpReplies.Classify(refused) switch
                    {
                        SendOutcome.Temporary t => t.Reply,
                        SendOutcome.Permanent p => p.Reply,
                        _ => "",
                    }
                    : SmtpFailure.Explain(e, Smtp)
        );
    }

    private static void ImapSession(byte[] input)
    {
        using var client = new ImapClient { CheckCertificateRevocation = false };
        Talk(
            input,
            async stream =>
            {
                await client.ConnectAsync(stream, Imap.Host, 143, SecureSocketOptions.None);
                await client.AuthenticateAsync("lawn", "secret");
                var folder = await client.GetFolderAsync("INBOX");
                await folder.OpenAsync(FolderAccess.ReadWrite);
                var found = await folder.SearchAsync(SearchQuery.NotDeleted);
                foreach (var uid in found.Take(2))
                {
                    await folder.FetchAsync(
                        [uid],
                        MessageSummaryItems.UniqueId | MessageSummaryItems.InternalDate
                    );
                    try
                    {
                        await using var part = await folder.GetStreamAsync(uid, 0, 256 * 1024);
                    }
                    catch (MessageNotFoundException)
                    {
                        // As ImapSession does: the message is gone.
                    }
                }
            },
            e => ImapFailure.IsExpected(e, CancellationToken.None),
            e => ImapFailure.Explain(e, Imap)
        );
    }

    private static void Talk(
        byte[] script,
        Func<Stream, Task> client,
        Func<Exception, bool> expected,
        Func<Exception, string> explain
    )
    {
        using var stream = new ScriptStream(script);
        try
        {
            client(stream).GetAwaiter().GetResult();
        }
        catch (Exception e) when (expected(e))
        {
            OneLine(explain(e));
            throw new ToldException(e);
        }
    }

    private static void OneLine(string text)
    {
        Promise.Holds(text.Length <= 1000, "an explanation without an end to it");
        Promise.Holds(!text.Any(char.IsControl), "an explanation with control characters");
    }

    /// <summary>The talk ended as talks may end.</summary>
    private sealed class ToldException(Exception inner) : Exception(inner.Message, inner);
}

/// <summary>
/// The other end of a connection that says what is in a script, whatever it hears: up to the next <c>~</c> each time it
/// is asked something. <c>{tag}</c> becomes the tag of the last command.
/// </summary>
internal sealed class ScriptStream(byte[] script) : Stream
{
    private byte[] _turn = [];
    private int _said;
    private int _at;
    private string _tag = "A00000000";
    private bool _mayTalk = true;

    public override bool CanRead => true;
    public override bool CanWrite => true;
    public override bool CanSeek => false;
    public override bool CanTimeout => true;
    public override int ReadTimeout { get; set; }
    public override int WriteTimeout { get; set; }
    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(byte[] buffer, int offset, int count)
    {
        if (_said == _turn.Length && _mayTalk)
        {
            _mayTalk = false;
            var end = Array.IndexOf(script, (byte)'~', _at);
            var turn = script[_at..(end < 0 ? script.Length : end)];
            _at = end < 0 ? script.Length : end + 1;
            _said = 0;
            _turn =
                turn.AsSpan().IndexOf("{tag}"u8) < 0
                    ? turn
                    : Encoding.Latin1.GetBytes(
                        Encoding
                            .Latin1.GetString(turn)
                            .Replace("{tag}", _tag, StringComparison.Ordinal)
                    );
        }

        var n = Math.Min(count, _turn.Length - _said);
        _turn.AsSpan(_said, n).CopyTo(buffer.AsSpan(offset));
        _said += n;
        return n;
    }

    public override void Write(byte[] buffer, int offset, int count)
    {
        _mayTalk = true;
        var space = Array.IndexOf(buffer, (byte)' ', offset, count);
        if (space > offset && space - offset < 16)
        {
            _tag = Encoding.Latin1.GetString(buffer, offset, space - offset);
        }
    }

    public override Task<int> ReadAsync(
        byte[] buffer,
        int offset,
        int count,
        CancellationToken cancellationToken
    ) => Task.FromResult(Read(buffer, offset, count));

    public override ValueTask<int> ReadAsync(
        Memory<byte> buffer,
        CancellationToken cancellationToken = default
    )
    {
        var bytes = new byte[buffer.Length];
        var n = Read(bytes, 0, bytes.Length);
        bytes.AsMemory(0, n).CopyTo(buffer);
        return ValueTask.FromResult(n);
    }

    public override Task WriteAsync(
        byte[] buffer,
        int offset,
        int count,
        CancellationToken cancellationToken
    )
    {
        Write(buffer, offset, count);
        return Task.CompletedTask;
    }

    public override ValueTask WriteAsync(
        ReadOnlyMemory<byte> buffer,
        CancellationToken cancellationToken = default
    )
    {
        Write(buffer.ToArray(), 0, buffer.Length);
        return ValueTask.CompletedTask;
    }

    public override void Flush() { }

    public override Task FlushAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();
}
