using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>
/// Mail of our own in the shapes that mail programs and servers give theirs, in Data/inbound, with what should be made
/// of each. The outcomes were written with the mail, not taken from the reader.
/// </summary>
internal static class InboundCorpus
{
    public static readonly InboxOptions Inbox = new()
    {
        Host = "imap.example.org",
        Address = "lawn@example.org",
        BounceAddress = "bounces@example.org",
    };

    public static readonly string[] OwnDomains = ["example.org"];

    public static readonly Instant Received = Instant.FromUtc(2026, 11, 25, 23, 2, 15);

    private static readonly string Folder = Path.Combine(AppContext.BaseDirectory, "Data/inbound");

    /// <summary>Name, and the outcome as one line.</summary>
    public static IReadOnlyDictionary<string, string> Expected { get; } =
        File.ReadLines(Path.Combine(Folder, "expected.tsv"))
            .Skip(1)
            .Select(line => line.Split('\t', 2))
            .ToDictionary(cells => cells[0], cells => cells[1], StringComparer.Ordinal);

    public static TheoryDataRow<string>[] Names =>
        [.. Expected.Keys.Select(k => new TheoryDataRow<string>(k))];

    public static IEnumerable<string> Files =>
        Directory.GetFiles(Folder, "*.eml").Select(f => Path.GetFileNameWithoutExtension(f));

    public static byte[] Bytes(string name) =>
        File.ReadAllBytes(Path.Combine(Folder, $"{name}.eml"));

    public static InboundMail Read(byte[] bytes) =>
        InboundReader.Read(bytes, Received, Inbox, OwnDomains);

    /// <summary>An outcome as a line of expected.tsv, without the name.</summary>
    public static string Tell(InboundMail mail) =>
        string.Join(
            '\t',
            mail.Kind,
            Or(mail.From),
            Or(mail.ReplyToken),
            mail.Bounce is { } b ? b.Status : "-",
            mail.Bounce is null ? "-"
                : mail.Bounce.Permanent ? "yes"
                : "no",
            Or(mail.Bounce?.MessageToken ?? mail.Complaint?.MessageToken),
            Or(string.Join(" | ", mail.Lines))
        );

    private static string Or(string? text) => string.IsNullOrEmpty(text) ? "-" : text;
}
