using System.Net;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>The links of letters, by rule: looking changes nothing, one button does it, a token is good for one thing alone.</summary>
public sealed class LinkPagesTests : IAsyncLifetime
{
    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(Start.ToDateTimeOffset());
    private ServiceRig _rig = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() =>
        _rig = await ServiceRig.StartAsync(_scratch, _clock);

    public async ValueTask DisposeAsync()
    {
        await _rig.DisposeAsync();
        _scratch.Dispose();
    }

    [Fact]
    public async Task Fifty_prefetches_confirm_nobody_and_one_button_does()
    {
        var id = await PendingAsync("pat@example.org");
        var link = "/join/" + Token(LinkPurpose.Confirm, id);
        await PrefetchAsync(link);
        Assert.Equal(SubscriberStatus.Pending, await StatusAsync(id));

        for (var i = 0; i < 2; i++)
        {
            using var done = await _rig.Http.PostAsync(link, null, Cancel);
            Assert.Equal(HttpStatusCode.OK, done.StatusCode);
            Assert.Contains(
                "You are on the list",
                await done.Content.ReadAsStringAsync(Cancel),
                StringComparison.Ordinal
            );
        }

        Assert.Equal(SubscriberStatus.Active, await StatusAsync(id));
    }

    [Fact]
    public async Task A_link_to_confirm_brings_nobody_back_who_left()
    {
        var id = await PendingAsync("pat@example.org");
        var link = "/join/" + Token(LinkPurpose.Confirm, id);
        (await _rig.Http.PostAsync(link, null, Cancel)).Dispose();
        await _rig.Store.Subscribers.SetStatusAsync(id, SubscriberStatus.Left, null, Cancel);
        using var again = await _rig.Http.PostAsync(link, null, Cancel);
        Assert.Equal(HttpStatusCode.NotFound, again.StatusCode);
        Assert.Equal(SubscriberStatus.Left, await StatusAsync(id));
    }

    [Fact]
    public async Task A_deed_is_taken_back_by_the_button_alone()
    {
        var (id, lawn) = await ActiveAsync("pat@example.org");
        Assert.True(
            await _rig.Store.Deeds.DoAsync(
                new()
                {
                    Id = 77,
                    SubscriberId = id,
                    LawnId = lawn,
                    Adds = [new(0, JournalKind.Mowed, new(2026, 11, 24), 5)],
                },
                Cancel
            )
        );
        var link = "/undo/" + Token(LinkPurpose.Undo, 77);
        await PrefetchAsync(link);
        Assert.Single((await _rig.Store.Journal.LoadAsync(lawn, Cancel)).Entries);

        for (var i = 0; i < 2; i++)
        {
            using var done = await _rig.Http.PostAsync(link, null, Cancel);
            Assert.Equal(HttpStatusCode.OK, done.StatusCode);
            Assert.Empty((await _rig.Store.Journal.LoadAsync(lawn, Cancel)).Entries);
        }
    }

    [Fact]
    public async Task Who_left_comes_back_by_the_button_and_nobody_else_does()
    {
        var (id, _) = await ActiveAsync("pat@example.org");
        var (silenced, _) = await ActiveAsync("sam@example.org");
        await _rig.Store.Subscribers.SetStatusAsync(id, SubscriberStatus.Left, null, Cancel);
        await _rig.Store.Subscribers.SetStatusAsync(
            silenced,
            SubscriberStatus.Suppressed,
            null,
            Cancel
        );
        var link = "/rejoin/" + Token(LinkPurpose.Rejoin, id);
        await PrefetchAsync(link);
        Assert.Equal(SubscriberStatus.Left, await StatusAsync(id));

        using var back = await _rig.Http.PostAsync(link, null, Cancel);
        using var refused = await _rig.Http.PostAsync(
            "/rejoin/" + Token(LinkPurpose.Rejoin, silenced),
            null,
            Cancel
        );
        Assert.Equal(HttpStatusCode.OK, back.StatusCode);
        Assert.Equal(SubscriberStatus.Active, await StatusAsync(id));
        Assert.Equal(HttpStatusCode.NotFound, refused.StatusCode);
        Assert.Equal(SubscriberStatus.Suppressed, await StatusAsync(silenced));
    }

    [Fact]
    public async Task Leaving_sends_one_goodbye_with_a_way_back()
    {
        var (id, _) = await ActiveAsync("pat@example.org");
        var link = "/u/" + _rig.Tokens.Issue("unsubscribe", id);
        for (var i = 0; i < 3; i++)
        {
            using var left = await _rig.Http.PostAsync(link, null, Cancel);
            Assert.Equal(HttpStatusCode.OK, left.StatusCode);
        }

        Assert.Equal(SubscriberStatus.Left, await StatusAsync(id));
        var rows = new List<OutboxMessage>();
        await foreach (var row in _rig.Store.Outbox.ListAsync(Cancel))
        {
            rows.Add(row);
        }

        Assert.Equal(MessageKind.Receipt, Assert.Single(rows).Kind);
    }

    [Fact]
    public async Task Never_write_again_silences_an_address_that_only_someone_else_asked_for()
    {
        var id = await PendingAsync("pat@example.org");
        using var left = await _rig.Http.PostAsync(
            "/u/" + _rig.Tokens.Issue("unsubscribe", id),
            null,
            Cancel
        );
        Assert.Equal(SubscriberStatus.Left, await StatusAsync(id));
        Assert.True(
            await _rig.Store.Suppressions.HoldsAsync(
                Convert.FromHexString(_rig.Tokens.AddressHash("pat@example.org")),
                Cancel
            )
        );
    }

    [Fact]
    public async Task Tokens_that_are_forged_expired_or_for_another_purpose_get_one_page_and_do_nothing()
    {
        var id = await PendingAsync("pat@example.org");
        var pages = new HashSet<string>(StringComparer.Ordinal);
        LinkPurpose[] purposes = [LinkPurpose.Confirm, LinkPurpose.Undo, LinkPurpose.Rejoin];
        foreach (var (path, purpose) in new[] { "/join/", "/undo/", "/rejoin/" }.Zip(purposes))
        {
            var good = Token(purpose, id);
            var bad = purposes
                .Where(p => p != purpose)
                .Select(p => Token(p, id))
                .Append(_rig.Tokens.Issue(purpose, id, Start - Duration.FromSeconds(1)))
                .Append(good[..^1] + (good[^1] == 'A' ? 'B' : 'A'))
                .Append("v2")
                .Append(new string('x', 4000));
            foreach (var token in bad)
            {
                foreach (var method in new[] { HttpMethod.Get, HttpMethod.Post })
                {
                    using var answer = await _rig.Http.SendAsync(new(method, path + token), Cancel);
                    Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
                    pages.Add(await answer.Content.ReadAsStringAsync(Cancel));
                }
            }
        }

        Assert.Single(pages);
        Assert.Equal(SubscriberStatus.Pending, await StatusAsync(id));
    }

    private async Task PrefetchAsync(string link)
    {
        for (var i = 0; i < 50; i++)
        {
            using var got = await _rig.Http.GetAsync(link, Cancel);
            using var head = await _rig.Http.SendAsync(new(HttpMethod.Head, link), Cancel);
            Assert.Equal(HttpStatusCode.OK, got.StatusCode);
            Assert.Equal(HttpStatusCode.OK, head.StatusCode);
        }
    }

    private string Token(LinkPurpose purpose, long id) =>
        _rig.Tokens.Issue(purpose, id, Start + Duration.FromDays(1));

    private static Lawn Lawn() =>
        new() { Place = ZipDirectory.Lookup("40502").Place!, Grass = GrassKind.TallFescue };

    private async Task<long> PendingAsync(string email) =>
        (await _rig.Store.Joins.AskAsync(email, Lawn(), Cancel)).Who!.Subscriber.Id;

    private async Task<(long Id, long Lawn)> ActiveAsync(string email)
    {
        var added = (await _rig.Store.Subscribers.AddAsync(email, Lawn(), Cancel))!;
        return (added.Subscriber.Id, added.Lawns[0].Id);
    }

    private async Task<SubscriberStatus> StatusAsync(long id) =>
        (await _rig.Store.Subscribers.OfAsync(id, Cancel))!.Subscriber.Status;
}
