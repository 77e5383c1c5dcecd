using System.Net.Security;
using System.Net.Sockets;
using System.Text;

namespace TurfWatch.Testing;

/// <summary>One connection of <see cref="FaultySmtp"/>.</summary>
internal sealed class SmtpSession(FaultySmtp server, Socket socket, int number, SmtpScript script)
    : IDisposable
{
    private readonly List<string> _recipients = [];
    private readonly byte[] _buffer = new byte[8192];
    private Stream _stream = new NetworkStream(socket);
    private int _start;
    private int _end;
    private int _taken;
    private bool _tls;
    private string _sender = "";
    private DateTimeOffset _begunAt;

    public void Dispose() => _stream.Dispose();

    public async Task RunAsync(CancellationToken ct)
    {
        if (!await AnswerAsync(SmtpStep.Connect, "220 faulty.test ESMTP", ct))
        {
            return;
        }

        while (await ReadLineAsync(ct) is { } line)
        {
            server.Log($"{number} {(_tls ? "tls" : "clear")} {line}");
            if (!await CommandAsync(line, ct))
            {
                return;
            }
        }
    }

    private async Task<bool> CommandAsync(string line, CancellationToken ct)
    {
        var verb = line.Split(' ')[0].ToUpperInvariant();
        switch (verb)
        {
            case "EHLO" or "HELO":
                return await AnswerAsync(SmtpStep.Ehlo, Greeting(), ct);
            case "STARTTLS":
                return await StartTlsAsync(ct);
            case "AUTH":
                return await AuthAsync(line, ct);
            case "MAIL":
                _sender = Path(line);
                _begunAt = TimeProvider.System.GetUtcNow();
                _recipients.Clear();
                return await AnswerAsync(SmtpStep.Mail, "250 2.1.0 Ok", ct);
            case "RCPT":
                _recipients.Add(Path(line));
                return await AnswerAsync(SmtpStep.Rcpt, "250 2.1.5 Ok", ct);
            case "DATA":
                return await DataAsync(ct);
            case "RSET" or "NOOP":
                return await WriteAsync("250 2.0.0 Ok", ct);
            case "QUIT":
                await WriteAsync("221 2.0.0 Bye", ct);
                return false;
            default:
                return await WriteAsync("502 5.5.2 Not known here", ct);
        }
    }

    private string Greeting()
    {
        List<string> lines = ["faulty.test", .. script.Extensions];
        if (script.Certificate is not null && !_tls)
        {
            lines.Add("STARTTLS");
        }

        if (script.Login is not null)
        {
            lines.Add("AUTH PLAIN");
        }

        return string.Join(
            "\r\n",
            lines.Select((l, i) => (i == lines.Count - 1 ? "250 " : "250-") + l)
        );
    }

    private async Task<bool> StartTlsAsync(CancellationToken ct)
    {
        if (script.Certificate is null)
        {
            return await WriteAsync("502 5.5.1 Not offered", ct);
        }

        if (!await AnswerAsync(SmtpStep.StartTls, "220 2.0.0 Go ahead", ct))
        {
            return false;
        }

        var tls = new SslStream(_stream);
        await tls.AuthenticateAsServerAsync(
            new SslServerAuthenticationOptions { ServerCertificate = script.Certificate },
            ct
        );
        (_stream, _tls, _start, _end) = (tls, true, 0, 0);
        return true;
    }

    private async Task<bool> AuthAsync(string line, CancellationToken ct)
    {
        var given = Encoding.UTF8.GetString(Convert.FromBase64String(line.Split(' ')[^1]));
        var right = string.Equals(
            given.Trim('\0').Replace('\0', ' '),
            script.Login,
            StringComparison.Ordinal
        );
        return await AnswerAsync(
            SmtpStep.Auth,
            right ? "235 2.7.0 Welcome" : "535 5.7.8 Authentication credentials invalid",
            ct
        );
    }

    private async Task<bool> DataAsync(CancellationToken ct)
    {
        if (Fault(SmtpStep.Data) is not null || _recipients.Count == 0)
        {
            return await AnswerAsync(SmtpStep.Data, "503 5.5.1 No recipient", ct);
        }

        await WriteAsync("354 End with a dot", ct);
        var limit = Fault(SmtpStep.Body) is { BodyBytes: var n } ? n : int.MaxValue;
        var body = new MemoryStream();
        while (true)
        {
            if (await ReadLineAsync(ct, limit - (int)body.Length) is not { } line)
            {
                socket.LingerState = new LingerOption(true, 0); // a reset, not a polite end
                return false;
            }

            if (line is ".")
            {
                break;
            }

            body.Write(Encoding.Latin1.GetBytes(line.StartsWith('.') ? line[1..] : line));
            body.Write("\r\n"u8);
        }

        return await DotAsync(body.ToArray(), ct);
    }

    private async Task<bool> DotAsync(byte[] content, CancellationToken ct)
    {
        var fault = Fault(SmtpStep.Dot);
        var reply = "250 2.0.0 Ok";
        if (
            fault is null
            || fault.TakeFirst
            || (fault.Reply is null && !fault.Silent && fault.Write is null)
        )
        {
            var count = server.Take(
                new(MessageId(content), _sender, string.Join(',', _recipients), content, _begunAt)
            );
            reply = $"250 2.0.0 Ok: queued as {count}";
        }

        var go = await AnswerAsync(SmtpStep.Dot, reply, ct);
        _taken++;
        return go;
    }

    private SmtpFault? Fault(SmtpStep step) =>
        _taken >= script.HealthyMessages
        && script.Faults.GetValueOrDefault(step) is { } fault
        && (
            fault.ForRecipient.Length == 0
            || _recipients.Exists(r =>
                r.Contains(fault.ForRecipient, StringComparison.OrdinalIgnoreCase)
            )
        )
        && fault.If?.Invoke(_recipients.LastOrDefault("")) != false
            ? fault
            : null;

    private async Task<bool> AnswerAsync(SmtpStep step, string usual, CancellationToken ct)
    {
        if (Fault(step) is not { } fault)
        {
            return await WriteAsync(usual, ct);
        }

        await Task.Delay(fault.Delay, ct);
        if (fault.Write is { } write)
        {
            await write(_stream, ct);
        }
        else if (!fault.Silent)
        {
            await WriteAsync(fault.Reply ?? usual, ct);
        }

        if (fault is { Silent: true, Close: false })
        {
            // Hang: read on, so that the client's own close is seen, and say nothing.
            while (await ReadLineAsync(ct) is not null) { }
            return false;
        }

        return !fault.Close;
    }

    private async Task<bool> WriteAsync(string reply, CancellationToken ct)
    {
        await _stream.WriteAsync(Encoding.UTF8.GetBytes(reply + "\r\n"), ct);
        return true;
    }

    private async Task<string?> ReadLineAsync(CancellationToken ct, int limit = int.MaxValue)
    {
        var line = new MemoryStream();
        while (true)
        {
            if (_start == _end)
            {
                (_start, _end) = (0, await _stream.ReadAsync(_buffer, ct));
                if (_end == 0)
                {
                    return null;
                }
            }

            var b = _buffer[_start++];
            if (b == '\n')
            {
                return Encoding.Latin1.GetString(line.ToArray()).TrimEnd('\r');
            }

            line.WriteByte(b);
            if (line.Length > limit)
            {
                return null;
            }
        }
    }

    private static string Path(string line)
    {
        var (open, close) = (line.IndexOf('<', StringComparison.Ordinal), line.LastIndexOf('>'));
        return open < 0 || close < open
            ? line
            : Encoding.UTF8.GetString(Encoding.Latin1.GetBytes(line[(open + 1)..close]));
    }

    private static string MessageId(byte[] content)
    {
        foreach (
            var line in Encoding
                .Latin1.GetString(content)
                .Split("\r\n")
                .TakeWhile(l => l.Length > 0)
        )
        {
            if (line.StartsWith("Message-Id:", StringComparison.OrdinalIgnoreCase))
            {
                return line["Message-Id:".Length..].Trim(' ', '<', '>');
            }
        }

        return "";
    }
}
