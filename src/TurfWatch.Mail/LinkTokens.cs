using System.Buffers.Binary;
using System.Buffers.Text;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <summary>
/// Tokens in mailed links. Each is good for one purpose and one id, until it expires if it does, and for as long as
/// its key stays in the key file (see <see cref="LinkKeys"/>). Links to leave are <c>v1.kid.subscriber.mac</c> and never
/// expire; all others are <c>v2.kid.payload.mac</c>, the payload being id and expiry. Tokens within mail addresses
/// are in the other half of this class.
/// </summary>
public sealed partial class LinkTokens
{
    public const string FileName = "link-keys";

    private const string First = "v1";
    private const string Second = "v2";
    private const int Longest = 200;

    private readonly LinkKeys _keys;

    private LinkTokens(LinkKeys keys) => _keys = keys;

    /// <summary>Reads the key file in the data directory; makes one, readable by us alone, when there is none.</summary>
    /// <exception cref="InvalidDataException">The file is damaged; the message says what to do.</exception>
    public static LinkTokens Open(string dataDirectory)
    {
        Directory.CreateDirectory(dataDirectory);
        return new(LinkKeys.Open(Path.Combine(dataDirectory, FileName)));
    }

    /// <summary>Ids of the keys, for telling whether two workers hold the same; the first signs.</summary>
    public IReadOnlyList<string> KeyIds => _keys.Ids;

    /// <summary>A token for a link to leave, which never expires; the purpose is <c>unsubscribe</c>.</summary>
    public string Issue(string purpose, long subscriberId)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(subscriberId);
        Span<byte> payload = stackalloc byte[sizeof(long)];
        BinaryPrimitives.WriteInt64BigEndian(payload, subscriberId);
        return Signed(First, purpose, payload);
    }

    /// <summary>Whether a token for a link to leave is ours and for this purpose.</summary>
    public bool TryRead(string purpose, string token, out long subscriberId)
    {
        var read = TryOpen(First, purpose, token, sizeof(long), out var payload);
        subscriberId = read ? BinaryPrimitives.ReadInt64BigEndian(payload) : 0;
        return read;
    }

    /// <summary>A token for any other link.</summary>
    /// <param name="id">What it is about, 0 or more; see <see cref="LinkPurpose"/>.</param>
    /// <param name="expires">When it stops being good; null means never.</param>
    public string Issue(LinkPurpose purpose, long id, Instant? expires = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(id);
        Span<byte> payload = stackalloc byte[2 * sizeof(long)];
        BinaryPrimitives.WriteInt64BigEndian(payload, id);
        BinaryPrimitives.WriteInt64BigEndian(
            payload[sizeof(long)..],
            expires?.ToUnixTimeSeconds() ?? long.MaxValue
        );
        return Signed(Second, Name(purpose), payload);
    }

    /// <summary>Whether a token is ours, for this purpose, and still good.</summary>
    public bool TryRead(LinkPurpose purpose, string token, Instant now, out long id) =>
        TryRead(purpose, token, now, out id, out _);

    /// <summary>The same, and until when it is good; <see cref="Instant.MaxValue"/> means ever.</summary>
    public bool TryRead(
        LinkPurpose purpose,
        string token,
        Instant now,
        out long id,
        out Instant expires
    )
    {
        (id, expires) = (0, Instant.MinValue);
        if (!TryOpen(Second, Name(purpose), token, 2 * sizeof(long), out var payload))
        {
            return false;
        }

        var until = BinaryPrimitives.ReadInt64BigEndian(payload.AsSpan(sizeof(long)));
        if (until <= now.ToUnixTimeSeconds())
        {
            return false;
        }

        id = BinaryPrimitives.ReadInt64BigEndian(payload);
        expires =
            until > Instant.MaxValue.ToUnixTimeSeconds()
                ? Instant.MaxValue
                : Instant.FromUnixTimeSeconds(until);
        return true;
    }

    /// <summary>
    /// What may be remembered of an address that must not be kept: a keyed hash, the same for every spelling in
    /// upper and lower case and under every newer key.
    /// </summary>
    public string AddressHash(string email) =>
        Convert.ToHexStringLower(_keys.Lasting("address-hash", email.Trim().ToLowerInvariant()));

    /// <summary>A name that only we can make and that is the same each time it is made, for example for a Message-ID.</summary>
    internal string StableName(string text) =>
        // The oldest key, so that putting a new one on top does not rename what is under way.
        Convert.ToHexStringLower(_keys.Lasting("name", text));

    private static string Name(LinkPurpose purpose) =>
        purpose switch
        {
            LinkPurpose.Confirm => "link-confirm",
            LinkPurpose.LawnPage => "link-lawn-page",
            LinkPurpose.Undo => "link-undo",
            LinkPurpose.Rejoin => "link-rejoin",
            LinkPurpose.Calendar => "link-calendar",
            LinkPurpose.WriteDown => "link-write-down",
            LinkPurpose.JoinForm => "form-join",
            LinkPurpose.LawnForm => "form-lawn",
            _ => throw new ArgumentOutOfRangeException(
                nameof(purpose),
                purpose,
                "give the purpose a name of its own, which then never changes"
            ),
        };

    private string Signed(string version, string purpose, ReadOnlySpan<byte> payload)
    {
        var encoded = Base64Url.EncodeToString(payload);
        var (body, mac) = _keys.Sign(purpose, kid => $"{version}.{kid}.{encoded}");
        return $"{body}.{Base64Url.EncodeToString(mac)}";
    }

    private bool TryOpen(
        string version,
        string purpose,
        string token,
        int length,
        out byte[] payload
    )
    {
        payload = [];
        if (token.Length > Longest)
        {
            return false;
        }

        var parts = token.Split('.');
        return parts.Length == 4
            && string.Equals(parts[0], version, StringComparison.Ordinal)
            && LinkKeys.TryDecode(parts[2], length, out payload)
            && LinkKeys.TryDecode(parts[3], LinkKeys.MacBytes, out var mac)
            && _keys.Verifies(parts[1], purpose, token[..token.LastIndexOf('.')], mac);
    }
}
