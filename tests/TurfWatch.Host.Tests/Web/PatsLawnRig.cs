using System.Net;
using System.Text.RegularExpressions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>A running service with one lawn, and the ways to its pages.</summary>
public abstract partial class PatsLawnRig : IAsyncLifetime
{
    // 08:00 in Tucson.
    private protected static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private protected readonly Scratch _scratch = new();

    private protected readonly FakeTimeProvider _clock = new(Start.ToDateTimeOffset());

    private protected ServiceRig _rig = null!;

    private protected SubscriberLawns _pat = null!;

    private protected static CancellationToken Cancel => TestContext.Current.CancellationToken;

    /// <summary>The lawn of 3,000 square feet that there is.</summary>
    private protected virtual Lawn Described =>
        new()
        {
            Place = ZipDirectory.Lookup("85719").Place!,
            Grass = GrassKind.Bermuda,
            AreaM2 = 278.70912,
        };

    public virtual async ValueTask InitializeAsync()
    {
        _rig = await ServiceRig.StartAsync(_scratch, _clock);
        _pat = await AddAsync("pat@example.org");
    }

    public async ValueTask DisposeAsync()
    {
        await _rig.DisposeAsync();
        _scratch.Dispose();
        GC.SuppressFinalize(this);
    }

    private protected async Task<SubscriberLawns> AddAsync(string email) =>
        (await _rig.Store.Subscribers.AddAsync(email, Described, Cancel))!;

    private protected string Link(SubscriberLawns who) =>
        $"/lawn/{_rig.Tokens.Issue(LinkPurpose.LawnPage, who.Lawns[0].Id, Start + Duration.FromDays(7))}";

    private protected async Task<string> OnceAsync() =>
        OnceForm()
            .Match(await _rig.Http.GetStringAsync(Link(_pat) + "/settings", Cancel))
            .Groups[1]
            .Value;

    /// <summary>Sends a form of a page behind Pat's link.</summary>
    private protected async Task<(HttpStatusCode Status, string Html)> PostAsync(
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

    /// <summary>Follows the link to take back what a page says was done.</summary>
    private protected async Task UndoAsync(string html)
    {
        var undo = UndoForm().Match(html);
        Assert.True(undo.Success, "there is no link to take it back");
        (await _rig.Http.PostAsync(undo.Groups[1].Value, null, Cancel)).Dispose();
    }

    private protected async Task<IReadOnlyList<JournalEntry>> JournalAsync() =>
        (await _rig.Store.Journal.LoadAsync(_pat.Lawns[0].Id, Cancel)).Entries;

    [GeneratedRegex("name=\"once\" value=\"([^\"]+)\"", RegexOptions.None, 1000)]
    private protected static partial Regex OnceForm();

    [GeneratedRegex("href=\"(/undo/[^\"]+)\"", RegexOptions.None, 1000)]
    private protected static partial Regex UndoForm();
}
