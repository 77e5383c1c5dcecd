using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>The lawn's page: what its forms do once, and that whatever an owner typed stays text.</summary>
public sealed class LawnPagesTests : LawnPagesRig
{
    [Theory]
    [InlineData("")]
    [InlineData("/settings")]
    [InlineData("/export")]
    [InlineData("/erase")]
    public async Task Fifty_looks_change_nothing(string page)
    {
        var before = await HeldAsync();
        for (var i = 0; i < 50; i++)
        {
            using var got = await _rig.Http.GetAsync(Link(_pat) + page, Cancel);
            using var head = await _rig.Http.SendAsync(
                new(HttpMethod.Head, Link(_pat) + page),
                Cancel
            );
            Assert.Equal(HttpStatusCode.OK, got.StatusCode);
            Assert.Equal(HttpStatusCode.OK, head.StatusCode);
            Assert.True(got.Headers.CacheControl?.NoStore);
        }

        Assert.Equal(before, await HeldAsync());
    }

    [Theory]
    [InlineData("")]
    [InlineData("/settings")]
    public async Task What_an_owner_typed_stays_text(string page)
    {
        var html = await _rig.Http.GetStringAsync(Link(_pat) + page, Cancel);
        Assert.DoesNotContain("<script", html, StringComparison.Ordinal);
        Assert.Contains("&lt;script&gt;", html, StringComparison.Ordinal);
        Assert.DoesNotContain("example.org", html, StringComparison.Ordinal);
        Assert.DoesNotMatch("(src|href)=\"(https?:)?//", html);
    }

    [Fact]
    public async Task A_deed_in_the_words_of_an_answer_is_in_the_journal_once_and_can_be_taken_back()
    {
        var once = await OnceAsync();
        var done = await PostAsync("/say", ("line", "mowed 2.5 in yesterday"), ("once", once));
        var again = await PostAsync("/say", ("line", "mowed 2.5 in yesterday"), ("once", once));

        Assert.Contains("Mowed at 2", done.Html, StringComparison.Ordinal);
        Assert.DoesNotContain("/undo/", again.Html, StringComparison.Ordinal);
        var entry = Assert.Single(await JournalAsync());
        // 2.5 in of 2.54 cm (NIST SP 811, exact).
        Assert.Equal(2.5 * 2.54, entry.Amount!.Value, 6);
        Assert.Equal(new LocalDate(2026, 11, 24), entry.Date);

        var undo = UndoForm().Match(done.Html).Groups[1].Value;
        using var undone = await _rig.Http.PostAsync(undo, null, Cancel);
        Assert.Equal(HttpStatusCode.OK, undone.StatusCode);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task A_line_of_the_journal_is_taken_out_of_ones_own_lawn_only()
    {
        var mine = await _rig.Store.Journal.AddAsync(
            _pat.Lawns[0].Id,
            new(0, JournalKind.Mowed, new(2026, 11, 20), 5),
            Cancel
        );
        var others = await _rig.Store.Journal.AddAsync(
            _sam.Lawns[0].Id,
            new(0, JournalKind.Mowed, new(2026, 11, 20), 5),
            Cancel
        );
        await PostAsync("/remove", ("entry", $"{others.Id}"), ("once", await OnceAsync()));
        Assert.Single((await _rig.Store.Journal.LoadAsync(_sam.Lawns[0].Id, Cancel)).Entries);
        await PostAsync("/remove", ("entry", $"{mine.Id}"), ("once", await OnceAsync()));
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task What_is_not_understood_does_nothing_and_is_told()
    {
        var page = await PostAsync(
            "/say",
            ("line", "<b>should I mow?</b>"),
            ("once", await OnceAsync())
        );
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        Assert.DoesNotContain("<b>", page.Html, StringComparison.Ordinal);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task A_form_without_its_number_or_with_anothers_undoes_nobodys_deed()
    {
        var bare = await PostAsync("/say", ("line", "mowed 2 in"));
        Assert.Equal(HttpStatusCode.BadRequest, bare.Status);
        await _rig.Store.Deeds.DoAsync(
            new()
            {
                Id = 5,
                SubscriberId = _sam.Subscriber.Id,
                LawnId = _sam.Lawns[0].Id,
                Adds = [new(0, JournalKind.Mowed, new(2026, 11, 24), 5)],
            },
            Cancel
        );
        var page = await PostAsync(
            "/say",
            ("line", "mowed 2 in"),
            ("once", _rig.Tokens.Issue(LinkPurpose.LawnForm, 5))
        );
        Assert.DoesNotContain("/undo/", page.Html, StringComparison.Ordinal);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task The_charts_of_the_digest_are_pictures_of_the_same_origin_with_their_words_below()
    {
        await TownWeather.KeepAsync(_rig, _pat.Lawns[0].Place, Start);
        var html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        var pictures = Regex.Matches(
            html,
            "<img src=\"(/lawn/[^\"]+/chart/([a-z]+)/[^\"]+\\.png)\" width=\"420\" height=\"264\" alt=\"Chart: [^\"]+\""
        );
        Assert.Equal(
            ["growth", "soil"],
            pictures
                .Select(p => p.Groups[2].Value)
                .Where(id => id is "soil" or "growth")
                .Order(StringComparer.Ordinal)
        );
        foreach (Match picture in pictures)
        {
            using var got = await _rig.Http.GetAsync(picture.Groups[1].Value, Cancel);
            Assert.Equal("image/png", got.Content.Headers.ContentType!.MediaType);
            Assert.Equal(TimeSpan.FromDays(1), got.Headers.CacheControl!.MaxAge);
            Assert.True(got.Headers.CacheControl.Private);
            // The PNG signature (ISO/IEC 15948, 5.2).
            Assert.Equal(
                [0x89, 0x50, 0x4E, 0x47],
                (await got.Content.ReadAsByteArrayAsync(Cancel))[..4]
            );
            // One that is not kept any more is drawn again; one that never was is not there.
            var again = Regex.Replace(picture.Groups[1].Value, "[^/]+\\.png", "gone.png");
            using var drawn = await _rig.Http.GetAsync(again, Cancel);
            Assert.Equal(HttpStatusCode.OK, drawn.StatusCode);
        }

        using var none = await _rig.Http.GetAsync(Link(_pat) + "/chart/nothing/gone.png", Cancel);
        Assert.Equal(HttpStatusCode.NotFound, none.StatusCode);
        using var forged = await _rig.Http.GetAsync(
            pictures[0].Groups[1].Value.Replace("/lawn/v2", "/lawn/v3", StringComparison.Ordinal),
            Cancel
        );
        Assert.Equal(HttpStatusCode.NotFound, forged.StatusCode);
    }
}
