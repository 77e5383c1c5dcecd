using System.Buffers;
using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace TurfWatch.Mail;

/// <summary>
/// The keys behind tokens and names. The file has one key a line (<c>kid base64url</c>); the first line signs, all
/// lines verify, so a key is changed by putting a new line on top.
/// </summary>
internal sealed class LinkKeys
{
    public const int MacBytes = 16;

    private const int KeyBytes = 32;

    private readonly IReadOnlyList<(string Kid, byte[] Key)> _keys;

    private LinkKeys(IReadOnlyList<(string Kid, byte[] Key)> keys) => _keys = keys;

    public IReadOnlyList<string> Ids => [.. _keys.Select(k => k.Kid)];

    /// <summary>The id of the key that signs.</summary>
    public string SigningId => _keys[0].Kid;

    /// <summary>Reads the file; makes one, readable by us alone, when there is none.</summary>
    /// <exception cref="InvalidDataException">The file is damaged; the message says what to do.</exception>
    public static LinkKeys Open(string path)
    {
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

    /// <summary>The code of a text under the key that signs.</summary>
    public byte[] Sign(string purpose, string body) => Mac(_keys[0].Key, purpose, body);

    /// <summary>Whether the code is right under the key of that id.</summary>
    public bool Verifies(string kid, string purpose, string body, ReadOnlySpan<byte> mac) =>
        _keys.FirstOrDefault(k => string.Equals(k.Kid, kid, StringComparison.Ordinal)).Key
            is { } key
        && CryptographicOperations.FixedTimeEquals(mac, Mac(key, purpose, body));

    /// <summary>Whether the code is right under any of the keys: for tokens that have no room for a key's id.</summary>
    public bool VerifiesUnderAny(string purpose, string body, ReadOnlySpan<byte> mac)
    {
        var right = false;
        foreach (var (_, key) in _keys)
        {
            right |= CryptographicOperations.FixedTimeEquals(mac, Mac(key, purpose, body));
        }

        return right;
    }

    /// <summary>The code under the oldest key, which a new one on top does not change.</summary>
    public byte[] Lasting(string purpose, string text) => Mac(_keys[^1].Key, purpose, text);

    /// <summary>The bytes of a base64url text of just that length. A second spelling of the same bytes is none of ours.</summary>
    public static bool TryDecode(string text, int length, out byte[] bytes)
    {
        bytes = new byte[length];
        return Base64Url.DecodeFromChars(text, bytes, out _, out var written)
                == OperationStatus.Done
            && written == length
            && string.Equals(Base64Url.EncodeToString(bytes), text, StringComparison.Ordinal);
    }

    private static byte[] Mac(byte[] key, string purpose, string body) =>
        HMACSHA256.HashData(key, Encoding.UTF8.GetBytes($"{purpose}\n{body}"))[..MacBytes];

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
