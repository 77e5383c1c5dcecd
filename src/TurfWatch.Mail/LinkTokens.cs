using System.Buffers;
using System.Buffers.Binary;
using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace TurfWatch.Mail;

/// <summary>
/// Tokens in mailed links: <c>v1.kid.subscriber.mac</c>. Each is good for one purpose and one subscriber,
/// and stays good for as long as its key stays in the key file. The file has one key a line
/// (<c>kid base64url</c>); the first line signs, all lines verify, so a key is changed by putting a
/// new line on top.
/// </summary>
public sealed class LinkTokens
{
    public const string FileName = "link-keys";

    private const string Version = "v1";
    private const int KeyBytes = 32;
    private const int MacBytes = 16;

    private readonly IReadOnlyList<(string Kid, byte[] Key)> _keys;

    private LinkTokens(IReadOnlyList<(string Kid, byte[] Key)> keys) => _keys = keys;

    /// <summary>Reads the key file in the data directory; makes one, readable by us alone, when there is none.</summary>
    /// <exception cref="InvalidDataException">The file is damaged; the message says what to do.</exception>
    public static LinkTokens Open(string dataDirectory)
    {
        Directory.CreateDirectory(dataDirectory);
        var path = Path.Combine(dataDirectory, FileName);
        if (!File.Exists(path))
        {
            Create(path);
        }

        File.SetUnixFileMode(path, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        var keys = new List<(string, byte[])>();
        foreach (var line in File.ReadLines(path).Where(l => !string.IsNullOrWhiteSpace(l)))
        {
            keys.Add(Parse(line, path));
        }

        return keys.Count > 0 ? new(keys) : throw Damaged(path, "it is empty");
    }

    /// <summary>A token for a link to one subscriber and one purpose, for example <c>unsubscribe</c>.</summary>
    public string Issue(string purpose, long subscriberId)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(subscriberId);
        var (kid, key) = _keys[0];
        Span<byte> payload = stackalloc byte[sizeof(long)];
        BinaryPrimitives.WriteInt64BigEndian(payload, subscriberId);
        var body = $"{Version}.{kid}.{Base64Url.EncodeToString(payload)}";
        return $"{body}.{Base64Url.EncodeToString(Mac(key, purpose, body))}";
    }

    /// <summary>Whether a token is ours and for this purpose.</summary>
    public bool TryRead(string purpose, string token, out long subscriberId)
    {
        subscriberId = 0;
        var parts = token.Split('.');
        if (
            token.Length > 200
            || parts.Length != 4
            || !string.Equals(parts[0], Version, StringComparison.Ordinal)
        )
        {
            return false;
        }

        var key = _keys
            .FirstOrDefault(k => string.Equals(k.Kid, parts[1], StringComparison.Ordinal))
            .Key;
        if (
            key is null
            || !TryDecode(parts[2], sizeof(long), out var payload)
            || !TryDecode(parts[3], MacBytes, out var mac)
        )
        {
            return false;
        }

        if (
            !CryptographicOperations.FixedTimeEquals(
                mac,
                Mac(key, purpose, token[..token.LastIndexOf('.')])
            )
        )
        {
            return false;
        }

        subscriberId = BinaryPrimitives.ReadInt64BigEndian(payload);
        return true;
    }

    /// <summary>A name that only we can make and that is the same each time it is made, for example for a Message-ID.</summary>
    internal string StableName(string text)
    {
        // The oldest key, so that putting a new one on top does not rename what is under way.
        var hash = Mac(_keys[^1].Key, "name", text);
        return Convert.ToHexStringLower(hash);
    }

    private static byte[] Mac(byte[] key, string purpose, string body) =>
        HMACSHA256.HashData(key, Encoding.UTF8.GetBytes($"{purpose}\n{body}"))[..MacBytes];

    private static bool TryDecode(string text, int length, out byte[] bytes)
    {
        bytes = new byte[length];
        // A second spelling of the same bytes (padding, other trailing bits) is not our token.
        return Base64Url.DecodeFromChars(text, bytes, out _, out var written)
                == OperationStatus.Done
            && written == length
            && string.Equals(Base64Url.EncodeToString(bytes), text, StringComparison.Ordinal);
    }

    private static (string Kid, byte[] Key) Parse(string line, string path)
    {
        var parts = line.Split(
            ' ',
            StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries
        );
        return
            parts.Length == 2
            && parts[0].All(char.IsAsciiLetterOrDigit)
            && TryDecode(parts[1], KeyBytes, out var key)
            ? (parts[0], key)
            : throw Damaged(path, "a line is not 'id key'");
    }

    private static InvalidDataException Damaged(string path, string why) =>
        new(
            $"The key file {path} cannot be used: {why}. Restore it from a backup; if there is none, delete it and start again: a new one is made, and the links in mail already sent stop working."
        );

    private static void Create(string path)
    {
        var kid = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(4));
        var line = $"{kid} {Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(KeyBytes))}\n";
        var draft = $"{path}.{kid}.new";
        using (
            var file = new FileStream(
                draft,
                new FileStreamOptions
                {
                    Mode = FileMode.CreateNew,
                    Access = FileAccess.Write,
                    UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
                }
            )
        )
        {
            file.Write(Encoding.ASCII.GetBytes(line));
            file.Flush(flushToDisk: true);
        }

        try
        {
            File.Move(draft, path, overwrite: false);
        }
        catch (IOException) when (File.Exists(path))
        {
            File.Delete(draft); // Another process was faster; its key counts.
        }
    }
}
