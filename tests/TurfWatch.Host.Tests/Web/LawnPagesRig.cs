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

/// <summary>Two lawns of a running service, and the ways to the pages of the first.</summary>
public abstract partial class LawnPagesRig : IAsyncLifetime
{
    private protected const string Hostile = "<script>alert(1)</script>\"'{{ x }}&amp;";

    private protected static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private protected readonly Scratch _scratch = new();

    private protected readonly FakeTimeProvider _clock = new(Start.ToDateTimeOffset());

    private protected ServiceRig _rig = null!;

    private protected SubscriberLawns _pat = null!;

    private protected SubscriberLawns _sam = null!;

    private protected static CancellationToken Cancel => TestContext.Current.CancellationToken;

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
        GC.SuppressFinalize(this);
    }

    private protected async Task<List<OutboxMessage>> FreshAsync()
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

    private protected string Link(SubscriberLawns who) =>
        $"/lawn/{_rig.Tokens.Issue(LinkPurpose.LawnPage, who.Lawns[0].Id, Start + Duration.FromDays(7))}";

    private protected async Task<string> OnceAsync() =>
        OnceForm()
            .Match(await _rig.Http.GetStringAsync(Link(_pat) + "/settings", Cancel))
            .Groups[1]
            .Value;

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

    private protected async Task<SubscriberLawns> AddAsync(string email)
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

    private protected async Task<OwnedLawn> OwnedAsync() =>
        (await _rig.Store.Lawns.FindAsync(_pat.Lawns[0].Id, Cancel))!;

    private protected async Task<IReadOnlyList<JournalEntry>> JournalAsync() =>
        (await _rig.Store.Journal.LoadAsync(_pat.Lawns[0].Id, Cancel)).Entries;

    private protected async Task<string> HeldAsync()
    {
        var owned = await OwnedAsync();
        return $"{owned.Subscriber} {owned.PausedUntil} {owned.Lawn.Name} {owned.Lawn.Place} {(await JournalAsync()).Count}";
    }

    [GeneratedRegex("name=\"once\" value=\"([^\"]+)\"", RegexOptions.None, 1000)]
    private protected static partial Regex OnceForm();

    [GeneratedRegex("href=\"(/undo/[^\"]+)\"", RegexOptions.None, 1000)]
    private protected static partial Regex UndoForm();
}
