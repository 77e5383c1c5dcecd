using System.Collections.Immutable;
using System.Security.Cryptography.X509Certificates;

namespace TurfWatch.Testing;

/// <summary>The moments of an SMTP session at which <see cref="FaultySmtp"/> can misbehave.</summary>
public enum SmtpStep
{
    Connect,
    Ehlo,
    StartTls,
    Auth,
    Mail,
    Rcpt,
    Data,

    /// <summary>While the body arrives: only a drop after so many bytes makes sense here.</summary>
    Body,

    /// <summary>After the final dot.</summary>
    Dot,
}

/// <summary>What the server does at a step instead of its usual answer.</summary>
public sealed record SmtpFault
{
    /// <summary>The answer; null means the usual one, unless <see cref="Silent"/>.</summary>
    public string? Reply { get; init; }

    /// <summary>No answer at all.</summary>
    public bool Silent { get; init; }

    /// <summary>The connection is closed after the answer, or instead of it.</summary>
    public bool Close { get; init; }

    /// <summary>Wait before the answer.</summary>
    public TimeSpan Delay { get; init; }

    /// <summary>At the dot: the message is taken (and is in the ledger) before the fault happens.</summary>
    public bool TakeFirst { get; init; }

    /// <summary>In the body: bytes to read before the connection is reset.</summary>
    public int BodyBytes { get; init; }

    /// <summary>Writes whatever it likes as the answer.</summary>
    public Func<Stream, CancellationToken, Task>? Write { get; init; }

    /// <summary>The fault happens only when the recipient contains this text; empty means always.</summary>
    public string ForRecipient { get; init; } = "";

    /// <summary>Asked with the recipient (empty before it is named), perhaps twice a step: whether the fault happens; null means yes.</summary>
    public Func<string, bool>? If { get; init; }

    public static SmtpFault Say(string reply, bool close = false) =>
        new() { Reply = reply, Close = close };

    public static SmtpFault Drop() => new() { Silent = true, Close = true };

    public static SmtpFault DropAfter(int bodyBytes) =>
        new() { BodyBytes = bodyBytes, Close = true };

    public static SmtpFault Hang() => new() { Silent = true };

    public static SmtpFault TakeThenDrop() =>
        new()
        {
            TakeFirst = true,
            Silent = true,
            Close = true,
        };

    public static SmtpFault TakeThenHang() => new() { TakeFirst = true, Silent = true };

    public static SmtpFault Late(TimeSpan delay) => new() { Delay = delay };

    /// <summary>One byte at a time, for ever within the line.</summary>
    public static SmtpFault Trickle(TimeSpan perByte) =>
        new()
        {
            Write = async (stream, ct) =>
            {
                await stream.WriteAsync("250-"u8.ToArray(), ct);
                while (true)
                {
                    await stream.WriteAsync("x"u8.ToArray(), ct);
                    await Task.Delay(perByte, ct);
                }
            },
        };

    /// <summary>An answer of endless lines, as fast as they are read.</summary>
    public static SmtpFault Flood() =>
        new()
        {
            Write = async (stream, ct) =>
            {
                var lines = Enumerable
                    .Repeat("250-and another line\r\n"u8.ToArray(), 100)
                    .SelectMany(l => l)
                    .ToArray();
                while (true)
                {
                    await stream.WriteAsync(lines, ct);
                }
            },
        };

    /// <summary>One line of so many bytes.</summary>
    public static SmtpFault LongLine(int bytes) =>
        new()
        {
            Write = async (stream, ct) =>
            {
                byte[] line = [.. "250 "u8, .. Enumerable.Repeat((byte)'x', bytes), .. "\r\n"u8];
                await stream.WriteAsync(line, ct);
            },
        };
}

/// <summary>How the server behaves on one connection.</summary>
public sealed record SmtpScript
{
    public static SmtpScript Healthy { get; } = new();

    /// <summary>What EHLO offers; STARTTLS is added where there is a certificate, AUTH where there is a password.</summary>
    public ImmutableArray<string> Extensions { get; init; } =
    ["PIPELINING", "8BITMIME", "ENHANCEDSTATUSCODES", "SMTPUTF8", "SIZE 10485760"];

    /// <summary>Certificate for STARTTLS.</summary>
    public X509Certificate2? Certificate { get; init; }

    /// <summary>"user password" that a login must give; null means that no login is offered.</summary>
    public string? Login { get; init; }

    /// <summary>Misbehaviour by step.</summary>
    public ImmutableDictionary<SmtpStep, SmtpFault> Faults { get; init; } =
        ImmutableDictionary<SmtpStep, SmtpFault>.Empty;

    /// <summary>Messages that are taken on the connection before the faults begin.</summary>
    public int HealthyMessages { get; init; }

    public SmtpScript With(SmtpStep step, SmtpFault fault) =>
        this with
        {
            Faults = Faults.SetItem(step, fault),
        };
}
