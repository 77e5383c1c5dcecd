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

/// <summary>The lawn's page: what its link opens, what its forms do once, and that whatever an owner typed stays text.</summary>
public sealed partial class LawnPagesTests : IAsyncLifetime
{
    private const string Hostile = "<script>alert(1)</script>\"'{{ x }}&amp;";

    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(Start.ToDateTimeOffset());
    private ServiceRig _rig = null!;
    private SubscriberLawns _pat = null!;
    private SubscriberLawns _sam = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _rig = await ServiceRig.StartAsync(_scratch, _clock);
        _pat = await AddAsync("pat@example.org");
        _sam = await AddAsync("sam@example.org");
    }

    public async ValueTask DisposeAsync()
    {
        await _rig.DisposeAsync();
        _scratch.Dispose();
    }

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
    public async Task Pause_and_resume_are_one_button_each()
    {
        await PostAsync("/say", ("line", "pause"), ("once", await OnceAsync()));
        Assert.NotNull((await OwnedAsync()).PausedUntil);
        var html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        Assert.Contains("Let the messages go on", html, StringComparison.Ordinal);
        await PostAsync("/say", ("line", "resume"), ("once", await OnceAsync()));
        html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        Assert.Contains("Pause the messages", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_pause_until_a_day_is_a_date_in_a_form()
    {
        await PostAsync("/say", ("until", "2027-01-10"), ("once", await OnceAsync()));
        Assert.Equal(new LocalDate(2027, 1, 10), (await OwnedAsync()).PausedUntil);
        var html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        Assert.Contains("Messages are paused until Jan", html, StringComparison.Ordinal);
        foreach (var bad in new[] { "2026-11-25", "2029-01-01", "soon", "2027-02-30" })
        {
            var page = await PostAsync("/say", ("until", bad), ("once", await OnceAsync()));
            Assert.Equal((bad, HttpStatusCode.BadRequest), (bad, page.Status));
        }

        Assert.Equal(new LocalDate(2027, 1, 10), (await OwnedAsync()).PausedUntil);
    }

    [Fact]
    public async Task Days_are_boxes_and_none_ticked_means_every_day()
    {
        // A browser sends the empty field and each box that is ticked.
        await PostAsync(
            "/settings",
            ("days", ""),
            ("days", "mon"),
            ("days", "sat"),
            ("morning", "no"),
            ("once", await OnceAsync())
        );
        var lawn = (await OwnedAsync()).Lawn;
        Assert.Equal([IsoDayOfWeek.Monday, IsoDayOfWeek.Saturday], lawn.MowDays);
        Assert.False(lawn.Morning);
        var html = await _rig.Http.GetStringAsync(Link(_pat) + "/settings", Cancel);
        Assert.Contains("name=\"days\" value=\"sat\" checked", html, StringComparison.Ordinal);
        Assert.DoesNotContain("value=\"sun\" checked", html, StringComparison.Ordinal);

        var same = await PostAsync(
            "/settings",
            ("days", ""),
            ("days", "mon"),
            ("days", "sat"),
            ("once", await OnceAsync())
        );
        Assert.Contains("Nothing was changed", same.Html, StringComparison.Ordinal);
        await PostAsync("/settings", ("days", ""), ("once", await OnceAsync()));
        Assert.Empty((await OwnedAsync()).Lawn.MowDays);
    }

    [Fact]
    public async Task Settings_are_saved_and_the_rest_stays_as_it_was()
    {
        var before = (await OwnedAsync()).Lawn;
        var page = await PostAsync(
            "/settings",
            ("height", "3in"),
            ("zip", "85719-1234"),
            ("digest", "no"),
            ("once", await OnceAsync())
        );
        Assert.Equal(HttpStatusCode.OK, page.Status);
        var after = (await OwnedAsync()).Lawn;
        Assert.Equal(7.62, after.MowingHeightCm!.Value, 6);
        Assert.Equal("America/Phoenix", after.Place.ZoneId);
        Assert.Null(after.DigestDay);
        Assert.Equal(
            (before.Grass, before.Name, before.AreaM2),
            (after.Grass, after.Name, after.AreaM2)
        );
    }

    [Fact]
    public async Task A_setting_that_cannot_be_is_told_beside_its_field_and_nothing_is_saved()
    {
        var before = (await OwnedAsync()).Lawn;
        var page = await PostAsync(
            "/settings",
            ("height", "tall"),
            ("zip", "00000"),
            ("zone", "Mars/Base"),
            ("name", "New"),
            ("once", await OnceAsync())
        );
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        foreach (var name in new[] { "height", "zip", "zone" })
        {
            Assert.Contains($"id=\"{name}-fault\"", page.Html, StringComparison.Ordinal);
        }

        Assert.Contains("value=\"New\"", page.Html, StringComparison.Ordinal);
        Assert.Equal(before.Name, (await OwnedAsync()).Lawn.Name);
    }

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

    private async Task<List<OutboxMessage>> FreshAsync()
    {
        var rows = new List<OutboxMessage>();
        await foreach (var row in _rig.Store.Outbox.ListAsync(Cancel))
        {
            if (row.Key.StartsWith("fresh:", StringComparison.Ordinal))
            {
                rows.Add(row);
            }
        }

        return rows;
    }

    private string Link(SubscriberLawns who) =>
        $"/lawn/{_rig.Tokens.Issue(LinkPurpose.LawnPage, who.Lawns[0].Id, Start + Duration.FromDays(7))}";

    private async Task<string> OnceAsync() =>
        OnceForm()
            .Match(await _rig.Http.GetStringAsync(Link(_pat) + "/settings", Cancel))
            .Groups[1]
            .Value;

    private async Task<(HttpStatusCode Status, string Html)> PostAsync(
        string form,
        params (string Name, string Value)[] typed
    )
    {
        using var body = new FormUrlEncodedContent(
            typed.Select(t => KeyValuePair.Create(t.Name, t.Value))
        );
        using var answer = await _rig.Http.PostAsync(Link(_pat) + form, body, Cancel);
        return (answer.StatusCode, await answer.Content.ReadAsStringAsync(Cancel));
    }

    private async Task<SubscriberLawns> AddAsync(string email)
    {
        var lawn = new Lawn
        {
            Place = ZipDirectory.Lookup("40502").Place!,
            Grass = GrassKind.TallFescue,
            Name = Hostile,
            AreaM2 = 123.456,
        };
        return (await _rig.Store.Subscribers.AddAsync(email, lawn, Cancel))!;
    }

    private async Task<OwnedLawn> OwnedAsync() =>
        (await _rig.Store.Lawns.FindAsync(_pat.Lawns[0].Id, Cancel))!;

    private async Task<IReadOnlyList<JournalEntry>> JournalAsync() =>
        (await _rig.Store.Journal.LoadAsync(_pat.Lawns[0].Id, Cancel)).Entries;

    private async Task<string> HeldAsync()
    {
        var owned = await OwnedAsync();
        return $"{owned.Subscriber} {owned.PausedUntil} {owned.Lawn.Name} {owned.Lawn.Place} {(await JournalAsync()).Count}";
    }

    [GeneratedRegex("name=\"once\" value=\"([^\"]+)\"", RegexOptions.None, 1000)]
    private static partial Regex OnceForm();

    [GeneratedRegex("href=\"(/undo/[^\"]+)\"", RegexOptions.None, 1000)]
    private static partial Regex UndoForm();
}
