using System.Globalization;
using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using CsCheck;
using MimeKit;
using MimeKit.Encodings;
using TurfWatch.Core;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Mail.Tests.Composing;

/// <summary>The parts as they go over the wire say what was to be said. The judge of the encoding is MimeKit's decoder.</summary>
public sealed partial class WirePartsTests
{
    private static readonly string[] Pieces =
    [
        "a",
        "=",
        " ",
        "\t",
        "\n",
        "é",
        "°",
        "✓",
        "🌱",
        ".",
        "\u00A0",
        "=\n",
        " \n",
    ];

    // Without quotation marks and ampersands, which HTML holds only as references.
    private static readonly Gen<string> Piece = Gen.OneOf(
        Gen.Int[0, Pieces.Length - 1].Select(i => Pieces[i]),
        Gen.Char['a', 'z'].Array[60, 90].Select(c => new string(c)),
        Gen.Char['\'', '\u024F'].Array[0, 12].Select(c => new string(c))
    );

    private static readonly Gen<string> Text = Piece.Array[0, 40].Select(string.Concat);

    // No word of it is too long for a line.
    private static readonly Gen<string> Words = Piece.Array[0, 8].Select(string.Concat);

    [Fact]
    public void Quoted_printable_is_read_back_as_it_was_in_short_lines_of_ASCII() =>
        Text.Sample(text =>
        {
            using var wire = QuotedPrintable.Write(text);

            var decoder = new QuotedPrintableDecoder();
            var read = new byte[decoder.EstimateOutputLength((int)wire.Length)];
            var length = decoder.Decode(wire.Written.ToArray(), 0, (int)wire.Length, read);
            Assert.Equal(
                text.Replace("\n", "\r\n", StringComparison.Ordinal),
                Encoding.UTF8.GetString(read, 0, length)
            );
            Assert.All(
                Encoding.Latin1.GetString(wire.Written).Split("\r\n"),
                line =>
                {
                    Assert.InRange(line.Length, 0, 76); // RFC 2045, 6.7, rule 5
                    Assert.Matches("^[\\t -~]*$", line);
                    Assert.DoesNotMatch("[ \\t]$", line); // rule 3
                }
            );
        });

    [Fact]
    public void HTML_is_read_back_as_it_was_but_for_white_space_between_words() =>
        Gen.OneOf(
                Words,
                Words.Select(w =>
                    $"<p class=\"a b\" style=\"font:16px 'Times New Roman',serif;{new string('x', w.Length % 70)} y\">"
                )
            )
            .Array[1, 12]
            .Select(words => string.Join(' ', words))
            .Sample(html =>
            {
                using var writer = new HtmlWriter();
                writer.Write(html);
                using var wire = writer.Lines();

                Assert.NotNull(wire);
                var read = Encoding.ASCII.GetString(wire.Written);
                Assert.Equal(Flat(html), Flat(Letters(read)));
                Assert.Equal(
                    Attribute().Matches(html).Select(m => m.Value),
                    Attribute().Matches(read).Select(m => Letters(m.Value))
                );
                Assert.All(
                    read.Split("\r\n"),
                    line => Assert.True(line.Length <= 998 && !line.Contains('\n'), line)
                );
            });

    [Fact]
    public void Lines_of_HTML_are_as_short_as_their_words_allow()
    {
        using var writer = new HtmlWriter();
        writer.Write(string.Join(' ', Enumerable.Repeat("twelve words", 100)));
        using var wire = writer.Lines();
        // RFC 5322, 2.1.1: at most 78 signs, if it can be.
        Assert.All(
            Encoding.ASCII.GetString(wire!.Written).TrimEnd().Split("\r\n"),
            line => Assert.InRange(line.Length, 1, 78)
        );
    }

    [Theory]
    [MemberData(nameof(Samples.Names), MemberType = typeof(Samples))]
    public void A_message_holds_what_a_preview_shows(string name)
    {
        var composer = TestComposer.Make();
        var content = Samples.All[name];
        using var message = Parse(composer, content);
        var parts = composer.Render(content, Samples.Reader);
        Assert.Equal(parts.Text, message.TextBody!.Replace("\r\n", "\n", StringComparison.Ordinal));
        Assert.Equal(
            WithoutPictures(Flat(parts.Html)),
            WithoutPictures(Flat(Letters(message.HtmlBody!)))
        );
        Assert.Equal(
            ContentEncoding.SevenBit,
            message.BodyParts.OfType<TextPart>().Last().ContentTransferEncoding
        );
    }

    [Fact]
    public void HTML_with_a_word_too_long_for_a_line_is_encoded()
    {
        var endless = new string('a', 1_200);
        var dew = Samples.Dew();
        var reason = dew.Mowing.Reasons[0] with { Source = endless };
        using var message = Parse(
            TestComposer.Make(),
            dew with
            {
                Mowing = dew.Mowing with { Reasons = [reason] },
            }
        );
        Assert.Equal(
            ContentEncoding.QuotedPrintable,
            message.BodyParts.OfType<TextPart>().Last().ContentTransferEncoding
        );
        Assert.Contains(endless, message.HtmlBody, StringComparison.Ordinal);
    }

    private static MimeMessage Parse(MessageComposer composer, MessageContent content)
    {
        var row = composer.Compose(content, Samples.Reader, "k", Samples.At(6), Samples.At(9));
        Assert.All(
            Encoding.Latin1.GetString(row.Content).Split("\r\n"),
            line => Assert.True(line.Length <= 998 && line.All(char.IsAscii), line)
        );
        return MimeMessage.Load(new MemoryStream(row.Content));
    }

    // What is escaped for HTML stays so.
    private static string Letters(string html) =>
        Reference()
            .Replace(
                html,
                m =>
                    char.ConvertFromUtf32(
                        int.Parse(m.Groups["n"].Value, CultureInfo.InvariantCulture)
                    )
            );

    private static string Flat(string html) => White().Replace(html, " ").Trim();

    private static string WithoutPictures(string html) =>
        Regex.Replace(html, "src=\"(cid|data):[^\"]*\"", "");

    [GeneratedRegex("&#(?<n>[0-9]+);")]
    private static partial Regex Reference();

    [GeneratedRegex("[ \\t\\r\\n]+")]
    private static partial Regex White();

    [GeneratedRegex("\"[^\"\\r\\n]*\"")]
    private static partial Regex Attribute();
}
