using System.Text.RegularExpressions;
using MimeKit;
using SkiaSharp;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>
/// Pictures in a message: multipart/alternative of text and multipart/related of HTML and pictures (RFC 2046 5.1.4,
/// RFC 2387), each picture named by its Content-ID (RFC 2392), none fetched.
/// </summary>
public sealed class MessagePicturesTests
{
    public static TheoryData<string> Weeks => ["week", "week-metric", "week-odd"];

    [Theory]
    [MemberData(nameof(Weeks))]
    public void A_digest_is_text_or_HTML_with_its_pictures(string name)
    {
        using var message = Parse(Compose(name));
        var body = Assert.IsType<MultipartAlternative>(message.Body);
        Assert.Equal(2, body.Count);
        Assert.Equal("text/plain", body[0].ContentType.MimeType);
        var related = Assert.IsType<MultipartRelated>(body[1]);
        Assert.Equal("text/html", related.ContentType.Parameters["type"]); // RFC 2387 3.1: required
        Assert.Equal("text/html", related[0].ContentType.MimeType);
        Assert.All(
            related.Skip(1),
            part =>
            {
                var picture = Assert.IsType<MimePart>(part);
                Assert.Equal("image/png", picture.ContentType.MimeType);
                Assert.Equal(ContentDisposition.Inline, picture.ContentDisposition?.Disposition);
                Assert.EndsWith("@watch.example.org", picture.ContentId, StringComparison.Ordinal);
                using var bytes = new MemoryStream();
                picture.Content!.DecodeTo(bytes);
                using var bitmap = SKBitmap.Decode(bytes.ToArray());
                Assert.Equal((840, 528), (bitmap.Width, bitmap.Height));
            }
        );
        // No delimiter may be the beginning of another (RFC 2046 5.1.2).
        Assert.False(related.Boundary!.StartsWith(body.Boundary!, StringComparison.Ordinal));
        Assert.False(body.Boundary!.StartsWith(related.Boundary!, StringComparison.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Weeks))]
    public void Every_picture_is_shown_has_words_for_those_who_cannot_see_it_and_a_size(string name)
    {
        using var message = Parse(Compose(name));
        var images = Regex.Matches(message.HtmlBody!, "<img [^>]*>").Select(m => m.Value).ToList();
        Assert.Equal(((SeasonDigest)Samples.All[name]).Charts.Length, images.Count);
        Assert.All(
            images,
            tag =>
            {
                Assert.Matches(
                    "\\salt=\"Chart: [^\"]+ The lines below say the same in words.\"",
                    tag
                );
                Assert.Contains(" width=\"420\"", tag, StringComparison.Ordinal);
                Assert.Contains("max-width:520px", tag, StringComparison.Ordinal);
                Assert.Matches(" src=\"cid:[0-9a-f]{24}@watch.example.org\"", tag);
            }
        );
        var shown = images.Select(t => Regex.Match(t, "cid:([^\"]+)").Groups[1].Value);
        var sent = message.BodyParts.OfType<MimePart>().Select(p => p.ContentId).OfType<string>();
        Assert.Equal(shown.Order(StringComparer.Ordinal), sent.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_chart_shown_twice_goes_along_once()
    {
        var week = Samples.Week();
        using var message = Parse(Compose(week with { Charts = [week.Charts[0], week.Charts[0]] }));
        Assert.Single(message.BodyParts, p => p.ContentType.IsMimeType("image", "png"));
        Assert.Equal(2, Regex.Count(message.HtmlBody!, "<img "));
    }

    [Fact]
    public void A_chart_of_nothing_known_keeps_its_words_and_shows_no_picture()
    {
        var week = Samples.Week();
        var chart = week.Charts[0];
        var blank = chart with
        {
            Series = [chart.Series[0] with { Values = [double.NaN], Low = [] }],
        };
        using var message = Parse(Compose(week with { Charts = [blank] }));
        Assert.IsNotType<MultipartRelated>(Assert.IsType<MultipartAlternative>(message.Body)[1]);
        Assert.DoesNotContain("<img", message.HtmlBody!, StringComparison.Ordinal);
        Assert.Contains("rye comes up best near", message.HtmlBody!, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Weeks))]
    public void The_HTML_stays_under_what_mail_services_show_and_the_whole_is_small(string name)
    {
        var row = Compose(name);
        using var message = Parse(row);
        Assert.InRange(System.Text.Encoding.UTF8.GetByteCount(message.HtmlBody!), 20_000, 90_000);
        Assert.InRange(row.Content.Length, 60_000, 300_000);
    }

    [Fact]
    public void The_same_digest_is_the_same_bytes_whether_its_charts_were_kept_or_drawn_anew()
    {
        var first = Compose("week").Content;
        var week = Samples.Week();
        for (var i = 1; i <= 150; i++)
        {
            // Four charts a time: more than are kept.
            Compose(week with { Charts = SampleCharts.Season(week.Date.PlusDays(i)) });
        }

        Assert.Equal(first, Compose("week").Content);
    }

    [Fact]
    public void A_preview_is_a_file_that_is_whole_in_itself()
    {
        var html = System.Net.WebUtility.HtmlDecode(
            TestComposer.Make().Render(Samples.Week()).Html
        );
        Assert.Equal(4, Regex.Count(html, "<img src=\"data:image/png;base64,[A-Za-z0-9+/=]+\""));
        Assert.DoesNotContain("cid:", html, StringComparison.Ordinal);
    }

    [Fact]
    public void Markup_in_the_title_of_a_chart_stays_text_in_every_place()
    {
        using var message = Parse(Compose("week-odd"));
        Assert.Contains(
            "alt=\"Chart: &lt;img src=x onerror=&quot;alert(1)&quot;&gt;",
            message.HtmlBody!,
            StringComparison.Ordinal
        );
        Assert.DoesNotMatch("<img (?!src=\"cid:)", message.HtmlBody!);
    }

    [Fact]
    public void The_alerts_of_one_window_stand_in_one_thread()
    {
        using var opened = Parse(Compose(Samples.Opened(), "a"));
        var window = Samples.Opened().Window;
        using var closing = Parse(Compose(Samples.ClosingSoon() with { Window = window }, "b"));
        using var another = Parse(Compose(Samples.ClosingSoon(), "c"));
        var root = Assert.Single(opened.References);
        Assert.Equal(root, Assert.Single(closing.References));
        Assert.NotEqual(root, Assert.Single(another.References));
        Assert.NotEqual(root, opened.MessageId);
        Assert.NotEqual(opened.MessageId, closing.MessageId);
    }

    private static OutboxMessage Compose(string name) => Compose(Samples.All[name]);

    private static OutboxMessage Compose(MessageContent content, string key = "k") =>
        TestComposer.Make().Compose(content, Samples.Reader, key, Samples.At(6), Samples.At(9));

    private static MimeMessage Parse(OutboxMessage row)
    {
        using var stream = new MemoryStream(row.Content);
        return MimeMessage.Load(stream);
    }
}
