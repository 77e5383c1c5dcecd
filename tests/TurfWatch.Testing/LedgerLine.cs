using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;

namespace TurfWatch.Testing;

/// <summary>One message that <see cref="FaultySmtp"/> took, as its ledger file keeps it.</summary>
/// <param name="TakenAt">When the sender was about to be told so.</param>
/// <param name="BegunAt">When its MAIL command came.</param>
/// <param name="MessageId">Its Message-ID, without brackets.</param>
/// <param name="Recipient">Envelope recipient.</param>
/// <param name="Sha256">Of the bytes as received, in hex.</param>
/// <param name="Canaries">The canaries found in it, each once.</param>
public sealed partial record LedgerLine(
    DateTimeOffset TakenAt,
    DateTimeOffset BegunAt,
    string MessageId,
    string Recipient,
    string Sha256,
    ImmutableArray<string> Canaries
)
{
    /// <summary>A word that is put into one subscriber's messages and may stand in nobody else's.</summary>
    public static string Canary(long number) =>
        string.Create(CultureInfo.InvariantCulture, $"canary{number:D7}x");

    /// <summary>The lines of a file; one that was cut short by a kill was never answered and does not count.</summary>
    public static IReadOnlyList<LedgerLine> Read(string path)
    {
        using var file = new FileStream(
            path,
            FileMode.OpenOrCreate,
            FileAccess.Read,
            FileShare.ReadWrite
        );
        using var reader = new StreamReader(file);
        var whole = reader.ReadToEnd();
        return [.. whole[..(whole.LastIndexOf('\n') + 1)].Split('\n')[..^1].Select(Parse)];
    }

    internal static LedgerLine Of(SmtpDelivery delivery, DateTimeOffset takenAt)
    {
        // Quoted-printable breaks lines inside words.
        var text = Encoding
            .UTF8.GetString(delivery.Content)
            .Replace("=\r\n", "", StringComparison.Ordinal);
        return new(
            takenAt,
            delivery.BegunAt,
            delivery.MessageId,
            delivery.Recipient,
            Convert.ToHexStringLower(SHA256.HashData(delivery.Content)),
            [
                .. CanaryPattern()
                    .Matches(text)
                    .Select(m => m.Value.ToLowerInvariant())
                    .Distinct(StringComparer.Ordinal),
            ]
        );
    }

    internal byte[] ToBytes() =>
        Encoding.UTF8.GetBytes(
            $"{TakenAt:O}\t{BegunAt:O}\t{MessageId}\t{Recipient}\t{Sha256}\t{string.Join(',', Canaries)}\n"
        );

    private static LedgerLine Parse(string line)
    {
        var part = line.Split('\t');
        return new(
            DateTimeOffset.Parse(part[0], CultureInfo.InvariantCulture),
            DateTimeOffset.Parse(part[1], CultureInfo.InvariantCulture),
            part[2],
            part[3],
            part[4],
            [.. part[5].Split(',', StringSplitOptions.RemoveEmptyEntries)]
        );
    }

    [GeneratedRegex(@"canary\d{7}x", RegexOptions.IgnoreCase)]
    private static partial Regex CanaryPattern();
}
