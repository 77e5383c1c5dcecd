using System.Net;
using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>A new line for the journal, typed into fields on the lawn's page.</summary>
public sealed partial class NewLineTests : PatsLawnRig
{
    private static readonly LocalDate Day = new(2026, 11, 24);

    // Amounts by the exact definitions of inch, pound and foot (NIST SP 811).
    [Theory]
    [InlineData(JournalKind.Mowed, 6.35, "kind=mowed", "height=2.5 in")]
    [InlineData(JournalKind.Mowed, null, "kind=mowed")]
    [InlineData(JournalKind.Mowed, 6.0, "kind=mowed", "height=6 cm", "product=5 lb", "soil=61")]
    [InlineData(JournalKind.Fed, 1.709, "kind=fed", "product=5 lb", "grade=21-0-0")]
    [InlineData(JournalKind.Fed, 2.441, "kind=fed", "product=0.5 lb N per 1000")]
    [InlineData(JournalKind.Fed, null, "kind=fed")]
    [InlineData(JournalKind.Seeded, 16.275, "kind=seeded", "seed=10 lb", "grass=annual ryegrass")]
    [InlineData(JournalKind.Seeded, null, "kind=seeded", "grass=perennial ryegrass")]
    [InlineData(JournalKind.Germinated, null, "kind=germinated", "grass=fine fescue")]
    [InlineData(JournalKind.Watered, 12.7, "kind=watered", "water=0.5 in")]
    [InlineData(JournalKind.SoilMeasured, 16.111, "kind=soil", "soil=61 F", "at=07:30")]
    [InlineData(JournalKind.PreEmergent, null, "kind=pre-emergent")]
    [InlineData(JournalKind.Aerated, null, "kind=aerated")]
    [InlineData(JournalKind.Dethatched, null, "kind=dethatched")]
    [InlineData(JournalKind.MowingSkipped, null, "kind=skipped mowing")]
    public async Task Each_kind_is_written_from_its_own_fields_once_and_taken_back(
        JournalKind kind,
        double? amount,
        params string[] typed
    )
    {
        var once = await OnceAsync();
        var done = await WriteAsync(once, typed);
        await WriteAsync(once, typed);

        Assert.Equal(HttpStatusCode.OK, done.Status);
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal((kind, Day), (entry.Kind, entry.Date));
        Assert.Equal(amount ?? double.NaN, entry.Amount ?? double.NaN, 0.001);
        Assert.Equal(kind == JournalKind.SoilMeasured ? new LocalTime(7, 30) : null, entry.Time);

        await UndoAsync(done.Html);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task Each_grass_that_is_offered_is_understood()
    {
        var page = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        var select = Regex.Match(page, "<select id=\"grass\".*?</select>", RegexOptions.Singleline);
        var offered = Regex
            .Matches(select.Value, "<option value=\"([^\"]+)\"")
            .Select(m => m.Groups[1].Value)
            .ToList();
        Assert.Equal(Enum.GetValues<GrassKind>().Length, offered.Count);
        foreach (var grass in offered)
        {
            await WriteAsync(await OnceAsync(), "kind=seeded", $"grass={grass}");
        }

        Assert.Equal(
            Enum.GetValues<GrassKind>().Order(),
            (await JournalAsync()).Select(e => e.Grass!.Value).Order()
        );
    }

    [Theory]
    [InlineData("kind", "kind=stop")]
    [InlineData("kind", "kind=set height", "height=2 in")]
    [InlineData("kind", "kind=")]
    [InlineData("day", "kind=mowed", "day=2026-11-26")]
    [InlineData("day", "kind=mowed", "day=2024-11-20")]
    [InlineData("day", "kind=mowed", "day=2026-02-30")]
    [InlineData("day", "kind=mowed", "day=")]
    [InlineData("height", "kind=mowed", "height=tall")]
    [InlineData("height", "kind=mowed", "height=90 in")]
    [InlineData("height", "kind=mowed", "height=2 in; fed 5 lb 21-0-0")]
    [InlineData("height", "kind=mowed", "height=2 in yesterday", "day=2026-11-20")]
    [InlineData("product", "kind=fed", "product=a lot", "grade=21-0-0")]
    [InlineData("product", "kind=fed", "grade=21-0-0")]
    [InlineData("product", "kind=fed", "product=as advised")]
    [InlineData("product", "kind=fed", "product=900 lb", "grade=21-0-0")]
    [InlineData("grade", "kind=fed", "product=5 lb")]
    [InlineData("grade", "kind=fed", "product=5 lb", "grade=strong")]
    [InlineData("grade", "kind=fed", "product=5 lb", "grade=90-90-90")]
    [InlineData("seed", "kind=seeded", "seed=plenty")]
    [InlineData("seed", "kind=seeded", "seed=10 stone")]
    [InlineData("grass", "kind=germinated", "grass=moss")]
    [InlineData("water", "kind=watered", "water=much")]
    [InlineData("water", "kind=watered", "water=90 in")]
    [InlineData("soil", "kind=soil")]
    [InlineData("soil", "kind=soil", "soil=warm")]
    [InlineData("soil", "kind=soil", "soil=500 F")]
    public async Task What_cannot_be_is_told_beside_its_field_and_what_was_typed_stays(
        string field,
        params string[] typed
    )
    {
        var page = await WriteAsync(await OnceAsync(), typed);

        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        Assert.Contains($"id=\"{field}-fault\"", page.Html, StringComparison.Ordinal);
        Assert.Contains($"<a href=\"#{field}\">", page.Html, StringComparison.Ordinal);
        Assert.DoesNotContain("--", Visible(page.Html), StringComparison.Ordinal);
        foreach (
            var pair in typed.Select(t => t.Split('=')).Where(t => t[0] is not ("kind" or "grass"))
        )
        {
            Assert.Contains(
                $"name=\"{pair[0]}\" value=\"{WebUtility.HtmlEncode(pair[1])}\"",
                page.Html,
                StringComparison.Ordinal
            );
        }

        Assert.Empty(await JournalAsync());
        // It can be sent again from where it is.
        Assert.Contains("name=\"once\" value=\"", page.Html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Words_that_are_not_understood_are_told_beside_their_field_and_stay()
    {
        var (status, html) = await PostAsync(
            "/say",
            ("line", "mowed <b>high</b> 90 in"),
            ("once", await OnceAsync())
        );

        Assert.Equal(HttpStatusCode.BadRequest, status);
        Assert.Contains("id=\"line-fault\"", html, StringComparison.Ordinal);
        Assert.Contains(
            "value=\"mowed &lt;b&gt;high&lt;/b&gt; 90 in\"",
            html,
            StringComparison.Ordinal
        );
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task A_form_without_its_number_writes_nothing()
    {
        Assert.Equal(HttpStatusCode.BadRequest, (await WriteAsync("", "kind=mowed")).Status);
        Assert.Empty(await JournalAsync());
    }

    /// <summary>Sends the form of a new line; what is typed is given as "name=value", the day as <see cref="Day"/> unless told.</summary>
    private Task<(HttpStatusCode Status, string Html)> WriteAsync(
        string once,
        params string[] typed
    )
    {
        var values = new Dictionary<string, string> { ["day"] = "2026-11-24", ["once"] = once };
        foreach (var pair in typed.Select(t => t.Split('=', 2)))
        {
            values[pair[0]] = pair[1];
        }

        return PostAsync("/write", [.. values.Select(v => (v.Key, v.Value))]);
    }

    private static string Visible(string html) => WebUtility.HtmlDecode(Tag().Replace(html, ""));

    [GeneratedRegex("<[^>]*>", RegexOptions.None, 1000)]
    private static partial Regex Tag();
}
