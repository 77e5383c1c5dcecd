using System.Buffers;
using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;

namespace TurfWatch.Mail.Signing;

/// <summary>
/// Signs a finished message over its very bytes (DKIM, RFC 6376): rsa-sha256, relaxed/relaxed, the whole body. It is
/// done here and not by MimeKit, which would parse and write the message again and takes ten times as long for the
/// RSA in managed code; MimeKit's verifier judges the result in the tests.
/// </summary>
public sealed class DkimSigner(DkimOptions options) : IDisposable
{
    /// <summary>
    /// The fields that are signed. Each is named once more than it occurs, so that one added on the way breaks the
    /// signature too (RFC 6376, 8.15). RFC 8058 wants both List-Unsubscribe fields among them.
    /// </summary>
    internal static readonly string[] Fields =
    [
        "from",
        "to",
        "subject",
        "date",
        "message-id",
        "reply-to",
        "in-reply-to",
        "references",
        "mime-version",
        "content-type",
        "content-transfer-encoding",
        "list-id",
        "list-unsubscribe",
        "list-unsubscribe-post",
        "list-help",
        "list-owner",
        "auto-submitted",
    ];

    private const int LineWidth = 72;

    private readonly DkimKey _key = DkimKey.Load(options.PrivateKeyFile);
    private readonly ConcurrentBag<RSA> _idle = [];

    /// <summary>
    /// The message with its signature in front. Equal bytes get an equal signature (it carries no time), so that
    /// every try of a message is the same.
    /// </summary>
    public byte[] Sign(byte[] message)
    {
        var fields = WireForm.Fields(message, out var bodyAt);
        var room = ArrayPool<byte>.Shared.Rent(message.Length + 2048);
        try
        {
            var bodyLength = RelaxedForm.Body(message.AsSpan(bodyAt), room);
            var bodyHash = SHA256.HashData(room.AsSpan(0, bodyLength));
            var named = new StringBuilder();
            var length = 0;
            foreach (var name in Fields)
            {
                // From the bottom up, as verifiers take them (RFC 6376, 5.4.2).
                for (var i = fields.Count - 1; i >= 0; i--)
                {
                    if (WireForm.IsNamed(message, fields[i], name))
                    {
                        named.Append(name).Append(':');
                        length += RelaxedForm.Header(
                            message.AsSpan(fields[i]),
                            room.AsSpan(length)
                        );
                        room[length++] = (byte)'\r';
                        room[length++] = (byte)'\n';
                    }
                }

                named.Append(name).Append(':');
            }

            named.Length--;
            var field = Encoding.ASCII.GetBytes(
                $"DKIM-Signature: v=1; a=rsa-sha256; c=relaxed/relaxed;\r\n\td={options.Domain}; s={options.Selector};\r\n\tbh={Convert.ToBase64String(bodyHash)};\r\n\th={Folded(named.ToString(), ':')};\r\n\tb="
            );
            var own = ArrayPool<byte>.Shared.Rent(length + field.Length);
            room.AsSpan(0, length).CopyTo(own);
            length += RelaxedForm.Header(field, own.AsSpan(length));
            var signature = Encoding.ASCII.GetBytes(SignatureOf(own.AsSpan(0, length)) + "\r\n");
            ArrayPool<byte>.Shared.Return(own);
            return [.. field, .. signature, .. message];
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(room);
        }
    }

    public void Dispose()
    {
        while (_idle.TryTake(out var rsa))
        {
            rsa.Dispose();
        }
    }

    private string SignatureOf(ReadOnlySpan<byte> data)
    {
        if (!_idle.TryTake(out var rsa))
        {
            rsa = _key.Open();
        }

        var signature = rsa.SignData(data, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        _idle.Add(rsa);
        return Folded(Convert.ToBase64String(signature), null);
    }

    /// <summary>Breaks a long value into lines, after a sign of <paramref name="at"/> or anywhere.</summary>
    private static string Folded(string value, char? at)
    {
        var lines = new StringBuilder();
        var rest = value.AsSpan();
        while (rest.Length > LineWidth)
        {
            var cut = at is { } sign ? rest[..LineWidth].LastIndexOf(sign) + 1 : LineWidth;
            lines.Append(rest[..cut]).Append("\r\n\t");
            rest = rest[cut..];
        }

        return lines.Append(rest).ToString();
    }
}
