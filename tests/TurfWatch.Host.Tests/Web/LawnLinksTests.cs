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

/// <summary>How long the link to the lawn's page opens what, and what is held of a person behind it.</summary>
public sealed class LawnLinksTests : LawnPagesRig
{
    [Fact]
    public async Task The_export_holds_ones_own_and_nobody_elses()
    {
        await PostAsync("/say", ("line", "mowed 2 in"), ("once", await OnceAsync()));
        using var file = await _rig.Http.GetAsync(Link(_pat) + "/export", Cancel);
        var text = await file.Content.ReadAsStringAsync(Cancel);
        using var json = JsonDocument.Parse(text);
        Assert.Equal("pat@example.org", json.RootElement.GetProperty("Email").GetString());
        var lawn = json.RootElement.GetProperty("Lawns")[0];
        Assert.Equal(Hostile, lawn.GetProperty("Settings").GetProperty("name").GetString());
        Assert.Equal(1, lawn.GetProperty("Journal").GetArrayLength());
        Assert.DoesNotContain("sam@example.org", text, StringComparison.Ordinal);
        Assert.Equal("attachment", file.Content.Headers.ContentDisposition!.DispositionType);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Erasing_leaves_nothing_of_the_person_but_a_mark_if_wanted(bool never)
    {
        await PostAsync("/say", ("line", "mowed 2 in"), ("once", await OnceAsync()));
        var page = never ? await PostAsync("/erase", ("never", "yes")) : await PostAsync("/erase");
        Assert.Equal(HttpStatusCode.OK, page.Status);
        Assert.Null(await _rig.Store.Subscribers.FindAsync("pat@example.org", Cancel));
        Assert.Empty(await JournalAsync());
        Assert.Equal(
            never,
            await _rig.Store.Suppressions.HoldsAsync(
                Convert.FromHexString(_rig.Tokens.AddressHash("pat@example.org")),
                Cancel
            )
        );
        Assert.NotNull(await _rig.Store.Subscribers.FindAsync("sam@example.org", Cancel));
        using var gone = await _rig.Http.GetAsync(Link(_pat), Cancel);
        Assert.Equal(HttpStatusCode.NotFound, gone.StatusCode);
    }

    [Fact]
    public async Task Tokens_for_anything_else_open_nothing()
    {
        var id = _pat.Lawns[0].Id;
        var before = await HeldAsync();
        string[] bad =
        [
            _rig.Tokens.Issue("unsubscribe", id),
            _rig.Tokens.Issue(LinkPurpose.Undo, id),
            _rig.Tokens.Issue(LinkPurpose.LawnForm, id),
            _rig.Tokens.Issue(LinkPurpose.LawnPage, id, Start - Duration.FromSeconds(1)),
            _rig.Tokens.Issue(LinkPurpose.LawnPage, 999),
            _rig.Tokens.ReplyTokenFor(id, Start),
        ];
        foreach (var token in bad)
        {
            foreach (var page in new[] { "", "/settings", "/export", "/erase" })
            {
                using var got = await _rig.Http.GetAsync($"/lawn/{token}{page}", Cancel);
                Assert.Equal(HttpStatusCode.NotFound, got.StatusCode);
            }

            foreach (var form in new[] { "/say", "/remove", "/settings", "/erase" })
            {
                using var sent = await _rig.Http.PostAsync($"/lawn/{token}{form}", null, Cancel);
                Assert.Equal(HttpStatusCode.NotFound, sent.StatusCode);
            }
        }

        Assert.Equal(before, await HeldAsync());
    }

    [Fact]
    public async Task Two_hours_after_it_was_mailed_a_link_opens_the_page_and_the_journal_but_not_what_is_held()
    {
        var old =
            $"/lawn/{_rig.Tokens.Issue(LinkPurpose.LawnPage, _pat.Lawns[0].Id, Start + Duration.FromDays(7) - Duration.FromHours(2))}";
        var before = await HeldAsync();
        foreach (var page in new[] { "/settings", "/export", "/journal.csv", "/erase" })
        {
            using var got = await _rig.Http.GetAsync(old + page, Cancel);
            var html = await got.Content.ReadAsStringAsync(Cancel);
            Assert.Equal(HttpStatusCode.Forbidden, got.StatusCode);
            Assert.Contains("Mail me a fresh link", html, StringComparison.Ordinal);
            Assert.DoesNotContain("example.org", html, StringComparison.Ordinal);
        }

        foreach (var form in new[] { "/settings", "/erase" })
        {
            using var body = new FormUrlEncodedContent([
                new("once", await OnceAsync()),
                new("height", "3in"),
            ]);
            using var sent = await _rig.Http.PostAsync(old + form, body, Cancel);
            Assert.Equal(HttpStatusCode.Forbidden, sent.StatusCode);
        }

        Assert.Equal(before, await HeldAsync());
        using var looked = await _rig.Http.GetAsync(old, Cancel);
        Assert.Equal(HttpStatusCode.OK, looked.StatusCode);
        using var line = new FormUrlEncodedContent([
            new("once", await OnceAsync()),
            new("line", "mowed 2 in"),
        ]);
        using var said = await _rig.Http.PostAsync(old + "/say", line, Cancel);
        Assert.Equal(HttpStatusCode.OK, said.StatusCode);
        Assert.Single(await JournalAsync());

        // Nobody mails a link without an end, or with a later one.
        foreach (
            var token in new[]
            {
                _rig.Tokens.Issue(LinkPurpose.LawnPage, _pat.Lawns[0].Id),
                _rig.Tokens.Issue(
                    LinkPurpose.LawnPage,
                    _pat.Lawns[0].Id,
                    Start + Duration.FromDays(8)
                ),
            }
        )
        {
            using var got = await _rig.Http.GetAsync($"/lawn/{token}/settings", Cancel);
            Assert.Equal(HttpStatusCode.Forbidden, got.StatusCode);
        }
    }

    [Fact]
    public async Task A_fresh_link_goes_to_the_owners_address_once_in_ten_minutes()
    {
        for (var i = 0; i < 5; i++)
        {
            var page = await PostAsync("/fresh");
            Assert.Equal(HttpStatusCode.OK, page.Status);
            Assert.DoesNotContain("example.org", page.Html, StringComparison.Ordinal);
        }

        Assert.Equal("pat@example.org", Assert.Single(await FreshAsync()).Recipient);
        for (var i = 0; i < 20; i++)
        {
            _clock.Advance(TimeSpan.FromMinutes(10));
            await PostAsync("/fresh");
        }

        Assert.Equal(10, (await FreshAsync()).Count);
    }

    [Fact]
    public async Task Looks_beyond_measure_are_put_off()
    {
        var last = HttpStatusCode.OK;
        for (var i = 0; i <= Host.Web.Throttle.PerMinute && last == HttpStatusCode.OK; i++)
        {
            using var got = await _rig.Http.GetAsync(Link(_pat), Cancel);
            last = got.StatusCode;
            Assert.Equal(last != HttpStatusCode.OK, got.Headers.RetryAfter is not null);
        }

        Assert.Equal(HttpStatusCode.TooManyRequests, last);
        using var other = await _rig.Http.GetAsync(Link(_sam), Cancel);
        Assert.Equal(HttpStatusCode.OK, other.StatusCode);
    }
}
