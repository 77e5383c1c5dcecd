using System.Buffers;
using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace TurfWatch.Mail;

/// <summary>
/// The keys behind tokens and names, as the file has them at the moment (see <see cref="LinkKeyFile"/>): the first line
/// signs, so a key is changed by putting a new line on top, and a running service needs no restart.
/// </summary>
internal sealed class LinkKeys
{
    public const int MacBytes = 16;

    private readonly string _path;
    private volatile Ring _ring;

    private LinkKeys(string path, Ring ring)
    {
        _path = path;
        _ring = ring;
    }

    public IReadOnlyList<string> Ids => [.. Keys.Select(k => k.Id)];

    /// <summary>Reads the file; makes one, readable by us alone, when there is none.</summary>
    /// <exception cref="InvalidDataException">The file is damaged; the message says what to do.</exception>
    public static LinkKeys Open(string path)
    {
        if (!File.Exists(path))
        {
            LinkKeyFile.Create(path);
        }

        File.SetUnixFileMode(path, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        return new(path, Ring.Read(path));
    }

    /// <summary>The code of a text under the key that signs.</summary>
    public byte[] Sign(string purpose, string body) => Mac(Keys[0].Key, purpose, body);

    /// <summary>A text that names the key which signs it, and the code; both of one and the same key.</summary>
    public (string Body, byte[] Mac) Sign(string purpose, Func<string, string> body)
    {
        var (id, key, _, _) = Keys[0];
        var text = body(id);
        return (text, Mac(key, purpose, text));
    }

    /// <summary>Whether the code is right under the key of that id.</summary>
    public bool Verifies(string kid, string purpose, string body, ReadOnlySpan<byte> mac) =>
        Keys.FirstOrDefault(k => !k.NamesOnly && string.Equals(k.Id, kid, StringComparison.Ordinal))
            is { } key
        && CryptographicOperations.FixedTimeEquals(mac, Mac(key.Key, purpose, body));

    /// <summary>Whether the code is right under any of the keys: for tokens that have no room for a key's id.</summary>
    public bool VerifiesUnderAny(string purpose, string body, ReadOnlySpan<byte> mac)
    {
        var right = false;
        foreach (var key in Keys.Where(k => !k.NamesOnly))
        {
            right |= CryptographicOperations.FixedTimeEquals(mac, Mac(key.Key, purpose, body));
        }

        return right;
    }

    /// <summary>The code under the oldest key, which a new one on top does not change.</summary>
    public byte[] Lasting(string purpose, string text) => Mac(Keys[^1].Key, purpose, text);

    /// <summary>The bytes of a base64url text of just that length. A second spelling of the same bytes is none of ours.</summary>
    public static bool TryDecode(string text, int length, out byte[] bytes)
    {
        bytes = new byte[length];
        return Base64Url.DecodeFromChars(text, bytes, out _, out var written)
                == OperationStatus.Done
            && written == length
            && string.Equals(Base64Url.EncodeToString(bytes), text, StringComparison.Ordinal);
    }

    /// <summary>The keys as they are now: a changed file is read again, and one that cannot be read changes nothing.</summary>
    private IReadOnlyList<LinkKeyFile.KeyLine> Keys
    {
        get
        {
            var known = _ring;
            if (Ring.StampOf(_path) is not { } stamp || stamp == known.Stamp)
            {
                return known.Keys;
            }

            try
            {
                return (_ring = Ring.Read(_path)).Keys;
            }
            catch (Exception e)
                when (e is InvalidDataException or IOException or UnauthorizedAccessException)
            {
                return known.Keys;
            }
        }
    }

    private static byte[] Mac(byte[] key, string purpose, string body) =>
        HMACSHA256.HashData(key, Encoding.UTF8.GetBytes($"{purpose}\n{body}"))[..MacBytes];

    /// <summary>What the file held, and by what one sees that it was changed.</summary>
    private sealed record Ring(
        IReadOnlyList<LinkKeyFile.KeyLine> Keys,
        (DateTime Written, long Bytes)? Stamp
    )
    {
        // The stamp first: a change in between is then seen at the next look.
        public static Ring Read(string path)
        {
            var stamp = StampOf(path);
            return new(LinkKeyFile.Read(path), stamp);
        }

        public static (DateTime Written, long Bytes)? StampOf(string path)
        {
            var file = new FileInfo(path);
            return file.Exists ? (file.LastWriteTimeUtc, file.Length) : null;
        }
    }
}
