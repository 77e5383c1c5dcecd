using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Tests.Web;

/// <summary>Two lawns of a running service, of hostile names, and the ways to the pages of the first.</summary>
public abstract class LawnPagesRig : PatsLawnRig
{
    private protected const string Hostile = "<script>alert(1)</script>\"'{{ x }}&amp;";

    private protected SubscriberLawns _sam = null!;

    private protected override Lawn Described =>
        new()
        {
            Place = ZipDirectory.Lookup("40502").Place!,
            Grass = GrassKind.TallFescue,
            Name = Hostile,
            AreaM2 = 123.456,
        };

    public override async ValueTask InitializeAsync()
    {
        await base.InitializeAsync();
        _sam = await AddAsync("sam@example.org");
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

    private protected async Task<OwnedLawn> OwnedAsync() =>
        (await _rig.Store.Lawns.FindAsync(_pat.Lawns[0].Id, Cancel))!;

    private protected async Task<string> HeldAsync()
    {
        var owned = await OwnedAsync();
        return $"{owned.Subscriber} {owned.PausedUntil} {owned.Lawn.Name} {owned.Lawn.Place} {(await JournalAsync()).Count}";
    }
}
