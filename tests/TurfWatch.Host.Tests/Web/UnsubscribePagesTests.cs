using System.Net;
using TurfWatch.Core;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>The one-click link, held to RFC 8058 (one-click POST: no cookies needed, no redirect) and to rule: looking changes nothing.</summary>
public sealed class UnsubscribePagesTests : IAsyncLifetime
{
    private readonly Scratch _scratch = new();
    private ServiceRig _rig = null!;
    private long _pat;
    private long _sam;

    public async ValueTask InitializeAsync()
    {
        _rig = await ServiceRig.StartAsync(_scratch, TimeProvider.System);
        _pat = await AddAsync("pat@example.org");
        _sam = await AddAsync("sam@example.org");
    }

    public async ValueTask DisposeAsync()
    {
        await _rig.DisposeAsync();
        _scratch.Dispose();
    }

    [Fact]
    public async Task Looking_at_the_link_changes_nothing_however_often()
    {
        for (var i = 0; i < 50; i++)
        {
            using var got = await _rig.Http.GetAsync(Link(_pat));
            using var head = await _rig.Http.SendAsync(new(HttpMethod.Head, Link(_pat)));

            Assert.Equal(HttpStatusCode.OK, got.StatusCode);
            Assert.Equal(HttpStatusCode.OK, head.StatusCode);
        }

        Assert.Equal(SubscriberStatus.Active, await StatusAsync("pat@example.org"));
    }

    [Theory]
    [InlineData("form")]
    [InlineData("multipart")]
    [InlineData("empty")]
    [InlineData("json")]
    public async Task A_post_with_any_body_takes_that_address_off_and_no_other(string body)
    {
        using var content = Body(body);
        using var answer = await _rig.Http.PostAsync(Link(_pat), content);
        using var again = await _rig.Http.PostAsync(Link(_pat), null);

        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal(HttpStatusCode.OK, again.StatusCode);
        Assert.Null(answer.Headers.Location);
        Assert.False(answer.Headers.Contains("Set-Cookie"));
        Assert.Equal(SubscriberStatus.Left, await StatusAsync("pat@example.org"));
        Assert.Equal(SubscriberStatus.Active, await StatusAsync("sam@example.org"));
    }

    [Fact]
    public async Task A_forged_or_foreign_token_gets_the_same_404_page_and_does_nothing()
    {
        var good = _rig.Tokens.Issue("unsubscribe", _pat);
        string[] forged =
        [
            good[..^1] + (good[^1] == 'A' ? 'B' : 'A'),
            _rig.Tokens.Issue("confirm", _pat),
            "nonsense",
        ];
        var pages = new HashSet<string>(StringComparer.Ordinal);
        foreach (var token in forged)
        {
            using var answer = await _rig.Http.PostAsync("/u/" + token, null);
            Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
            pages.Add(await answer.Content.ReadAsStringAsync());
        }

        Assert.Single(pages);
        Assert.Equal(SubscriberStatus.Active, await StatusAsync("pat@example.org"));
    }

    [Fact]
    public async Task Every_page_carries_the_security_headers_and_no_address()
    {
        foreach (var path in new[] { Link(_sam), "/u/nonsense", "/health/live", "/nowhere" })
        {
            using var answer = await _rig.Http.GetAsync(path);
            var csp = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));

            Assert.StartsWith("default-src 'none'", csp, StringComparison.Ordinal);
            Assert.Equal("no-referrer", Assert.Single(answer.Headers.GetValues("Referrer-Policy")));
            Assert.Equal(
                "nosniff",
                Assert.Single(answer.Headers.GetValues("X-Content-Type-Options"))
            );
            Assert.True(answer.Headers.CacheControl?.NoStore);
            Assert.DoesNotContain(
                "example.org",
                await answer.Content.ReadAsStringAsync(),
                StringComparison.Ordinal
            );
        }
    }

    [Fact]
    public async Task Health_is_ready_and_tells_trouble_as_degraded()
    {
        var well = await _rig.Http.GetStringAsync("/health/live");
        _rig.Health.Trouble("a sweep", "the relay mail.example.net refuses the login of keeper");
        using var ready = await _rig.Http.GetAsync("/health/ready");
        var text = await ready.Content.ReadAsStringAsync();

        Assert.Equal("live\n", well);
        Assert.Equal(HttpStatusCode.OK, ready.StatusCode);
        // Anyone may ask, and is told what kind of trouble it is: no host, no login. The rig may be in another trouble besides.
        Assert.StartsWith("ready, degraded\n", text, StringComparison.Ordinal);
        Assert.Matches(
            "^a sweep \\(since [^)]*\\): a part of the work did not end well$",
            Assert.Single(
                text.Split('\n'),
                line => line.StartsWith("a sweep", StringComparison.Ordinal)
            )
        );
        Assert.DoesNotContain("example.net", text, StringComparison.Ordinal);
        Assert.DoesNotContain("keeper", text, StringComparison.Ordinal);
    }

    private static HttpContent? Body(string kind) =>
        kind switch
        {
            "form" => new FormUrlEncodedContent(
                new Dictionary<string, string>(StringComparer.Ordinal)
                {
                    ["List-Unsubscribe"] = "One-Click",
                }
            ),
            "multipart" => new MultipartFormDataContent
            {
                { new StringContent("One-Click"), "List-Unsubscribe" },
            },
            "json" => new StringContent("{", null, "application/json"),
            _ => null,
        };

    private string Link(long subscriber) => "/u/" + _rig.Tokens.Issue("unsubscribe", subscriber);

    private async Task<long> AddAsync(string email)
    {
        var lawn = new Lawn
        {
            Place = ZipDirectory.Lookup("40502").Place!,
            Grass = GrassKind.TallFescue,
        };
        var added = await _rig.Store.Subscribers.AddAsync(
            email,
            lawn,
            TestContext.Current.CancellationToken
        );
        return added!.Subscriber.Id;
    }

    private async Task<SubscriberStatus> StatusAsync(string email) =>
        (await _rig.Store.Subscribers.FindAsync(email, TestContext.Current.CancellationToken))!
            .Subscriber
            .Status;
}
