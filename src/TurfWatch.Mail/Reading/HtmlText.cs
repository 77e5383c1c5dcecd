using System.Text;
using System.Text.RegularExpressions;
using MimeKit.Text;

namespace TurfWatch.Mail.Reading;

/// <summary>The visible text of an HTML part without what it quotes. Nothing of it is run, fetched or shown: it is only split into words and lines.</summary>
internal static partial class HtmlText
{
    private const int MostTokens = 20_000;

    public static string Of(string html)
    {
        var text = new StringBuilder();
        var tokens = new HtmlTokenizer(new StringReader(html)) { DecodeCharacterReferences = true };
        var dropped = HtmlTagId.Unknown;
        var depth = 0;
        for (var n = 0; n < MostTokens && tokens.ReadNextToken(out var token); n++)
        {
            if (token is HtmlTagToken tag)
            {
                if (depth > 0)
                {
                    depth += Step(tag, dropped);
                    if (depth == 0 || (dropped == HtmlTagId.Head && tag.Id == HtmlTagId.Body))
                    {
                        depth = 0;
                        text.Append('\n');
                    }
                }
                else if (!tag.IsEndTag && EndsMessage(tag))
                {
                    break;
                }
                else if (!tag.IsEndTag && !tag.IsEmptyElement && IsDropped(tag))
                {
                    (dropped, depth) = (tag.Id, 1);
                }
                else if (BreaksLine(tag.Id))
                {
                    text.Append('\n');
                }
                else if (tag.Id is HtmlTagId.TD or HtmlTagId.TH)
                {
                    text.Append(' ');
                }
            }
            else if (depth == 0 && token is HtmlDataToken { Kind: HtmlTokenKind.Data } data)
            {
                text.Append(Space().Replace(data.Data, " "));
            }
        }

        return text.ToString();
    }

    private static int Step(HtmlTagToken tag, HtmlTagId dropped) =>
        tag.Id != dropped || tag.IsEmptyElement ? 0
        : tag.IsEndTag ? -1
        : 1;

    private static bool IsDropped(HtmlTagToken tag) =>
        tag.Id
            is HtmlTagId.Head
                or HtmlTagId.Script
                or HtmlTagId.Style
                or HtmlTagId.Title
                or HtmlTagId.BlockQuote
                or HtmlTagId.Object
                or HtmlTagId.Select
                or HtmlTagId.TextArea
        || (
            tag.Id
                is HtmlTagId.Div
                    or HtmlTagId.Span
                    or HtmlTagId.P
                    or HtmlTagId.Pre
                    or HtmlTagId.Table
            && (
                QuoteClass().IsMatch(Value(tag, HtmlAttributeId.Class))
                || QuoteId().IsMatch(Value(tag, HtmlAttributeId.Id))
                || QuoteId().IsMatch(Value(tag, HtmlAttributeId.Name))
                || Hidden().IsMatch(Value(tag, HtmlAttributeId.Style))
            )
        );

    // Programs that mark only where the quotation begins: all below belongs to it.
    private static bool EndsMessage(HtmlTagToken tag) =>
        EndId().IsMatch(Value(tag, HtmlAttributeId.Id));

    private static bool BreaksLine(HtmlTagId id) =>
        id
            is HtmlTagId.Br
                or HtmlTagId.P
                or HtmlTagId.Div
                or HtmlTagId.TR
                or HtmlTagId.LI
                or HtmlTagId.UL
                or HtmlTagId.OL
                or HtmlTagId.Table
                or HtmlTagId.Pre
                or HtmlTagId.HR
                or HtmlTagId.H1
                or HtmlTagId.H2
                or HtmlTagId.H3
                or HtmlTagId.Section
                or HtmlTagId.Article;

    private static string Value(HtmlTagToken tag, HtmlAttributeId id) =>
        tag.Attributes.FirstOrDefault(a => a.Id == id)?.Value ?? "";

    [GeneratedRegex(@"\s+", RegexOptions.CultureInvariant, 1000)]
    private static partial Regex Space();

    [GeneratedRegex(
        @"(^|\s)(gmail_quote|gmail_quote_container|gmail_attr|gmail_signature|moz-cite-prefix|moz-signature|yahoo_quoted|protonmail_quote|protonmail_signature_block|zmail_extra)(\s|$)",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex QuoteClass();

    [GeneratedRegex(
        @"^(messageReplySection|Signature|ms-outlook-mobile-signature|AppleMailSignature)$",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex QuoteId();

    [GeneratedRegex(
        @"^(x_)?(appendonsend|divRplyFwdMsg|stopSpelling|mail-editor-reference-message-container|reply-intro)$",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex EndId();

    [GeneratedRegex(
        @"display\s*:\s*none|visibility\s*:\s*hidden",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant,
        1000
    )]
    private static partial Regex Hidden();
}
