using System.Buffers.Binary;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail;

/// <content>Tokens of links that write something down: the whole line stands in them, so that what was offered is what is written, whatever has changed since.</content>
public sealed partial class LinkTokens
{
    private const string Third = "v3";
    private static readonly LocalDate FirstDay = new(1970, 1, 1);
    private const byte None = byte.MaxValue;

    // lawn 8, expiry 8, day 4, kind 1, grass 1, amount 8, grade 3 x 4
    private const int OfferBytes = 42;

    /// <summary>A token for a link that writes an offer down.</summary>
    /// <param name="lawnId">Whose journal.</param>
    /// <param name="expires">When it stops being good.</param>
    public string Issue(DeedOffer offer, long lawnId, Instant expires)
    {
        Span<byte> payload = stackalloc byte[OfferBytes];
        BinaryPrimitives.WriteInt64BigEndian(payload, lawnId);
        BinaryPrimitives.WriteInt64BigEndian(payload[8..], expires.ToUnixTimeSeconds());
        BinaryPrimitives.WriteInt32BigEndian(
            payload[16..],
            Period.DaysBetween(FirstDay, offer.Date)
        );
        payload[20] = (byte)offer.Kind;
        payload[21] = offer.Grass is { } grass ? (byte)grass : None;
        BinaryPrimitives.WriteDoubleBigEndian(payload[22..], offer.Amount ?? double.NaN);
        BinaryPrimitives.WriteSingleBigEndian(
            payload[30..],
            (float)(offer.Grade?.NitrogenPercent ?? 0)
        );
        BinaryPrimitives.WriteSingleBigEndian(
            payload[34..],
            (float)(offer.Grade?.PhosphatePercent ?? 0)
        );
        BinaryPrimitives.WriteSingleBigEndian(
            payload[38..],
            (float)(offer.Grade?.PotashPercent ?? 0)
        );
        return Signed(Third, Name(LinkPurpose.WriteDown), payload);
    }

    /// <summary>The offer of a token that is ours and still good, and whose journal it is for; null else.</summary>
    public (DeedOffer Offer, long LawnId)? ReadOffer(string token, Instant now)
    {
        if (
            !TryOpen(Third, Name(LinkPurpose.WriteDown), token, OfferBytes, out var bytes)
            || BinaryPrimitives.ReadInt64BigEndian(bytes.AsSpan(8)) <= now.ToUnixTimeSeconds()
        )
        {
            return null;
        }

        var payload = bytes.AsSpan();
        var amount = BinaryPrimitives.ReadDoubleBigEndian(payload[22..]);
        var nitrogen = BinaryPrimitives.ReadSingleBigEndian(payload[30..]);
        return (
            new(
                (JournalKind)payload[20],
                FirstDay.PlusDays(BinaryPrimitives.ReadInt32BigEndian(payload[16..])),
                double.IsNaN(amount) ? null : amount
            )
            {
                Grass = payload[21] == None ? null : (GrassKind)payload[21],
                Grade =
                    nitrogen > 0
                        ? new(
                            nitrogen,
                            BinaryPrimitives.ReadSingleBigEndian(payload[34..]),
                            BinaryPrimitives.ReadSingleBigEndian(payload[38..])
                        )
                        : null,
            },
            BinaryPrimitives.ReadInt64BigEndian(payload)
        );
    }
}
