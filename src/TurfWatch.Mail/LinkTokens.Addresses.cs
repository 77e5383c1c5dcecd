using System.Buffers.Binary;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <content>
/// Tokens before the @ of a mail address. Mail servers may change the case of that part and it has at most 64
/// letters (RFC 5321 4.5.3.1.1), so these are base32 in lower case and short: a letter for the purpose, what it is
/// about, and the code, which is checked under every key since there is no room for a key's id.
/// </content>
public sealed partial class LinkTokens
{
    /// <summary>The longest of these tokens.</summary>
    public const int LongestAddressToken = 41;

    private static readonly Instant FirstMade = Instant.FromUtc(2020, 1, 1, 0, 0);

    private const char Lawn = 'r';
    private const char Join = 'c';
    private const char Leave = 'u';
    private const char Returned = 'b';
    private const int IdBytes = 5;
    private const long LargestId = (1L << (8 * IdBytes)) - 1;

    /// <summary>
    /// The token of the address that answers about a lawn go to. It says when it was made, and whoever reads it decides
    /// how old it may be (<see cref="LinkPaths.Answers"/>): an old message that is answered is to be told so.
    /// </summary>
    /// <param name="lawnId">The lawn.</param>
    /// <param name="made">When the message was made; whole days count.</param>
    /// <exception cref="ArgumentOutOfRangeException">The id is negative or above 2^40 - 1.</exception>
    public string ReplyTokenFor(long lawnId, Instant made)
    {
        var day = (ushort)Math.Clamp((made - FirstMade).Days, 0, ushort.MaxValue);
        Span<byte> extra = stackalloc byte[sizeof(ushort)];
        BinaryPrimitives.WriteUInt16BigEndian(extra, day);
        return Short(Lawn, lawnId, extra);
    }

    /// <summary>Whether it is the token of an address for answers, about which lawn, and on what day it was made.</summary>
    public bool TryReadReply(string token, out long lawnId, out Instant made)
    {
        var read = TryShort(Lawn, token, sizeof(ushort), out lawnId, out var extra);
        made = read
            ? FirstMade + Duration.FromDays(BinaryPrimitives.ReadUInt16BigEndian(extra))
            : Instant.MinValue;
        return read;
    }

    /// <summary>The token of the address to which a request to confirm is answered.</summary>
    /// <param name="expires">When it stops being good; whole hours count, the one begun included.</param>
    public string ConfirmTokenFor(long subscriberId, Instant expires)
    {
        var hours = (uint)Math.Clamp(expires.ToUnixTimeSeconds() / 3600 + 1, 0, uint.MaxValue);
        Span<byte> extra = stackalloc byte[sizeof(uint)];
        BinaryPrimitives.WriteUInt32BigEndian(extra, hours);
        return Short(Join, subscriberId, extra[1..]);
    }

    /// <summary>Whether it is the token of an address that confirms, still good, and for whom.</summary>
    public bool TryReadConfirm(string token, Instant now, out long subscriberId)
    {
        if (!TryShort(Join, token, 3, out subscriberId, out var extra))
        {
            return false;
        }

        var hours = (extra[0] << 16) | (extra[1] << 8) | extra[2];
        if (hours * 3600L > now.ToUnixTimeSeconds())
        {
            return true;
        }

        subscriberId = 0;
        return false;
    }

    /// <summary>The token of an address to leave by: whatever arrives there, from whom and how made ever, asks to leave. It does not expire.</summary>
    public string LeaveTokenFor(long subscriberId) => Short(Leave, subscriberId, []);

    /// <summary>Whether it is the token of an address to leave by, and who leaves.</summary>
    public bool TryReadLeave(string token, out long subscriberId) =>
        TryShort(Leave, token, 0, out subscriberId, out _);

    /// <summary>The token of the return path of one message: what comes back there is about that message.</summary>
    public string BounceToken(long subscriberId, MessageKind kind, string key)
    {
        var name = _keys.Lasting("return-path", $"{subscriberId}|{kind}|{key}");
        return Short(Returned, subscriberId, [(byte)kind, .. name.AsSpan(0, 3)]);
    }

    /// <summary>Whether it is the token of a return path, and whom the message went to.</summary>
    public bool TryReadBounce(string token, out long subscriberId) =>
        TryShort(Returned, token, 4, out subscriberId, out _);

    private string Short(char purpose, long id, ReadOnlySpan<byte> extra)
    {
        if (id is < 0 or > LargestId)
        {
            throw new ArgumentOutOfRangeException(
                nameof(id),
                id,
                $"a token in an address has room for ids from 0 to {LargestId}"
            );
        }

        Span<byte> wide = stackalloc byte[sizeof(long)];
        BinaryPrimitives.WriteInt64BigEndian(wide, id);
        byte[] payload = [.. wide[^IdBytes..], .. extra];
        var mac = _keys.Sign(AddressPurpose(purpose), Convert.ToHexStringLower(payload));
        return purpose + Base32.Encode([.. payload, .. mac]);
    }

    private bool TryShort(char purpose, string token, int extraBytes, out long id, out byte[] extra)
    {
        (id, extra) = (0, []);
        if (token.Length is < 2 or > LongestAddressToken)
        {
            return false;
        }

        var lower = token.ToLowerInvariant();
        if (
            lower[0] != purpose
            || !Base32.TryDecode(
                lower.AsSpan(1),
                IdBytes + extraBytes + LinkKeys.MacBytes,
                out var all
            )
        )
        {
            return false;
        }

        var payload = all.AsSpan(0, IdBytes + extraBytes);
        if (
            !_keys.VerifiesUnderAny(
                AddressPurpose(purpose),
                Convert.ToHexStringLower(payload),
                all.AsSpan(payload.Length)
            )
        )
        {
            return false;
        }

        foreach (var b in payload[..IdBytes])
        {
            id = (id << 8) | b;
        }

        extra = payload[IdBytes..].ToArray();
        return true;
    }

    private static string AddressPurpose(char purpose) => $"address-{purpose}";
}
