using System.Net;
using System.Text.RegularExpressions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>The form to join: who asks learns nothing, the limits hold, and what is wrong is told beside its field (WCAG 2.2: 1.3.5, 3.3.1, 3.3.3).</summary>
public sealed partial class JoinPagesTests : IDisposable
{
    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(
        Instant.FromUtc(2026, 11, 25, 15, 0).ToDateTimeOffset()
    );

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task The_form_makes_a_pending_subscriber_and_one_letter_without_anything_typed()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var page = await SendAsync(rig, new() { ["area"] = "3000sqft", ["grass"] = "bermuda" });
        Assert.Equal(HttpStatusCode.OK, page.Status);
        Assert.Contains("not on the list yet", page.Html, StringComparison.Ordinal);

        var who = await rig.Store.Subscribers.FindAsync("pat@example.org", Cancel);
        Assert.Equal(SubscriberStatus.Pending, who!.Subscriber.Status);
        Assert.Equal("85719", who.Lawns[0].Place.Zip);
        // 3,000 square feet of 0.09290304 m² (NIST SP 811, exact).
        Assert.Equal(3000 * 0.09290304, who.Lawns[0].AreaM2!.Value, 6);
        Assert.Equal(MessageKind.Confirmation, Assert.Single(await RowsAsync(rig)).Kind);
    }

    // 43,560 square feet are an acre; foot and inch are exact (NIST SP 811).
    [Theory]
    [InlineData("3,000 sq ft", "2 1/2 in", 278.70912, 6.35)]
    [InlineData("3000", "2.5", 278.70912, 6.35)]
    [InlineData("3000 square feet", "2½\"", 278.70912, 6.35)]
    [InlineData("3000 ft2", "2.5 inches", 278.70912, 6.35)]
    [InlineData("1/4 acre", "6 cm", 1011.7141056, 6.0)]
    [InlineData("280 m²", "6cm", 280, 6.0)]
    [InlineData("280m2", "2.5in", 280, 6.35)]
    public async Task Area_and_height_are_understood_as_people_write_them(
        string area,
        string height,
        double m2,
        double cm
    )
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        await SendAsync(
            rig,
            new()
            {
                ["area"] = area,
                ["height"] = height,
                ["grass"] = "bermuda",
                ["overseed"] = "perennial-ryegrass",
            }
        );
        var lawn = (await rig.Store.Subscribers.FindAsync("pat@example.org", Cancel))!.Lawns[0];
        Assert.Equal(m2, lawn.AreaM2!.Value, 3);
        Assert.Equal(cm, lawn.MowingHeightCm!.Value, 6);
        Assert.Equal(GrassKind.PerennialRyegrass, lawn.Overseed);
    }

    [Fact]
    public async Task A_form_that_is_too_large_is_refused_in_words_and_not_a_fault_of_ours()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        using var body = new ByteArrayContent(new byte[200_000]);
        body.Headers.ContentType = new("application/x-www-form-urlencoded");
        using var answer = await rig.Http.PostAsync("/join", body, Cancel);
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, answer.StatusCode);
        Assert.Contains(
            "too large",
            await answer.Content.ReadAsStringAsync(Cancel),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task The_bare_address_of_the_service_shows_the_form()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        Assert.Contains(
            "action=\"/join\"",
            await rig.Http.GetStringAsync("/", Cancel),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Known_pending_and_silenced_addresses_get_the_same_page()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        await rig.Store.Subscribers.AddAsync(
            "active@example.org",
            new Lawn
            {
                Place = TurfWatch.Weather.Places.ZipDirectory.Lookup("85719").Place!,
                Grass = GrassKind.Bermuda,
            },
            Cancel
        );
        await rig.Store.Suppressions.AddAsync(
            Convert.FromHexString(rig.Tokens.AddressHash("silent@example.org")),
            "test",
            Cancel
        );
        string[] asked =
        [
            "new@example.org",
            "new@example.org",
            "active@example.org",
            "silent@example.org",
        ];
        var pages = new HashSet<string>(StringComparer.Ordinal);
        foreach (var address in asked)
        {
            pages.Add((await SendAsync(rig, new() { ["email"] = address })).Html);
        }

        Assert.Single(pages);
        Assert.Equal(2, (await RowsAsync(rig)).Count);
    }

    [Fact]
    public async Task What_is_wrong_is_told_at_the_top_and_beside_its_field_and_what_was_typed_stays()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var page = await SendAsync(
            rig,
            new()
            {
                ["email"] = "<script>alert(1)</script>",
                ["zip"] = "\"><b>00000",
                ["area"] = "big",
                ["grass"] = "tall-fescue",
                ["overseed"] = "perennial-ryegrass",
            }
        );
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        foreach (var name in new[] { "email", "zip", "area", "overseed" })
        {
            Assert.Contains($"href=\"#{name}\"", page.Html, StringComparison.Ordinal);
            Assert.Contains($"id=\"{name}-fault\"", page.Html, StringComparison.Ordinal);
            Assert.Matches($"id=\"{name}\"[^>]*aria-describedby=\"[^\"]*{name}-fault\"", page.Html);
        }

        Assert.Contains("value=\"big\"", page.Html, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", page.Html, StringComparison.Ordinal);
        Assert.DoesNotContain("<b>", page.Html, StringComparison.Ordinal);
        Assert.DoesNotContain(
            "--",
            page.Html.Replace("<!--", "", StringComparison.Ordinal),
            StringComparison.Ordinal
        );
        Assert.Empty(await RowsAsync(rig));
    }

    [Fact]
    public async Task A_filled_trap_gets_the_usual_page_and_nothing_happens()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var page = await SendAsync(rig, new() { ["website"] = "http://spam.example" });
        Assert.Equal(HttpStatusCode.OK, page.Status);
        Assert.Null(await rig.Store.Subscribers.FindAsync("pat@example.org", Cancel));
    }

    [Theory]
    [InlineData(2, "quicker")]
    [InlineData(13 * 3600, "too long")]
    public async Task Haste_and_staleness_ask_to_send_once_more(int seconds, string says)
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var page = await SendAsync(rig, new(), seconds);
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        Assert.Contains(says, page.Html, StringComparison.Ordinal);
        Assert.Empty(await RowsAsync(rig));
    }

    [Fact]
    public async Task A_stamp_of_our_own_for_something_else_is_none()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, _clock);
        var page = await SendAsync(
            rig,
            new() { ["stamp"] = rig.Tokens.Issue(LinkPurpose.Confirm, 1) }
        );
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
    }

    [Fact]
    public async Task Over_the_networks_limit_the_page_says_when_to_try_again_whatever_a_stranger_says_of_his_address()
    {
        await using var rig = await ServiceRig.StartAsync(
            _scratch,
            _clock,
            more: ", \"Join\": { \"PerNetworkHour\": 3 }"
        );
        for (var i = 0; i < 4; i++)
        {
            rig.Http.DefaultRequestHeaders.Remove("X-Forwarded-For");
            rig.Http.DefaultRequestHeaders.Add("X-Forwarded-For", $"198.51.{i}.7");
            var page = await SendAsync(rig, new() { ["email"] = $"p{i}@example.org" });
            Assert.Equal(i < 3 ? HttpStatusCode.OK : HttpStatusCode.TooManyRequests, page.Status);
            Assert.Equal(i == 3, page.RetryAfter is not null);
        }
    }

    [Fact]
    public async Task Behind_a_known_proxy_the_limit_goes_by_who_is_behind_it()
    {
        await using var rig = await ServiceRig.StartAsync(
            _scratch,
            _clock,
            more: ", \"Join\": { \"PerNetworkHour\": 1 }",
            web: ", \"KnownProxies\": [\"127.0.0.1\"]"
        );
        (string From, HttpStatusCode Status)[] asked =
        [
            ("198.51.100.7", HttpStatusCode.OK),
            ("198.51.100.250", HttpStatusCode.TooManyRequests),
            // What a stranger wrote before the proxy added his own address does not count.
            ("203.0.113.9, 198.51.100.8", HttpStatusCode.TooManyRequests),
            ("203.0.113.9", HttpStatusCode.OK),
            ("2001:db8:1:2::1", HttpStatusCode.OK),
            ("2001:db8:1:2:ffff::9", HttpStatusCode.TooManyRequests),
        ];
        for (var i = 0; i < asked.Length; i++)
        {
            rig.Http.DefaultRequestHeaders.Remove("X-Forwarded-For");
            rig.Http.DefaultRequestHeaders.Add("X-Forwarded-For", asked[i].From);
            var page = await SendAsync(rig, new() { ["email"] = $"p{i}@example.org" });
            Assert.Equal(asked[i].Status, page.Status);
        }
    }

    [Fact]
    public async Task Closed_doors_say_so()
    {
        await using var rig = await ServiceRig.StartAsync(
            _scratch,
            _clock,
            more: ", \"Join\": { \"Open\": false }"
        );
        using var form = await rig.Http.GetAsync("/join", Cancel);
        using var sent = await rig.Http.PostAsync("/join", null, Cancel);
        Assert.Equal(HttpStatusCode.Forbidden, form.StatusCode);
        Assert.Equal(HttpStatusCode.Forbidden, sent.StatusCode);
    }

    [Theory]
    [InlineData("203.0.113.77", "203.0.113.0/24")]
    [InlineData("::ffff:203.0.113.77", "203.0.113.0/24")]
    [InlineData("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64")]
    public void Networks_are_a_24_or_a_64(string address, string network) =>
        Assert.Equal(network, Network.Of(IPAddress.Parse(address)));

    private async Task<(HttpStatusCode Status, string Html, TimeSpan? RetryAfter)> SendAsync(
        ServiceRig rig,
        Dictionary<string, string> typed,
        int afterSeconds = 10
    )
    {
        var form = await rig.Http.GetStringAsync("/join", Cancel);
        _clock.Advance(TimeSpan.FromSeconds(afterSeconds));
        typed.TryAdd("email", "pat@example.org");
        typed.TryAdd("zip", "85719");
        typed.TryAdd("stamp", StampForm().Match(form).Groups[1].Value);
        using var body = new FormUrlEncodedContent(typed);
        using var answer = await rig.Http.PostAsync("/join", body, Cancel);
        return (
            answer.StatusCode,
            await answer.Content.ReadAsStringAsync(Cancel),
            answer.Headers.RetryAfter?.Delta
        );
    }

    private static async Task<List<OutboxMessage>> RowsAsync(ServiceRig rig)
    {
        var rows = new List<OutboxMessage>();
        await foreach (var row in rig.Store.Outbox.ListAsync(Cancel))
        {
            rows.Add(row);
        }

        return rows;
    }

    [GeneratedRegex("name=\"stamp\" value=\"([^\"]+)\"", RegexOptions.None, 1000)]
    private static partial Regex StampForm();
}
