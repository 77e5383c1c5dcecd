using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;

namespace TurfWatch.Host.Calendars;

/// <summary>A calendar as it is served.</summary>
/// <param name="Text">The file.</param>
/// <param name="Tag">Its entity tag, the same for the same file.</param>
/// <param name="MadeAt">When its dates were worked out.</param>
internal sealed record ServedCalendar(string Text, string Tag, Instant MadeAt);

/// <summary>
/// The calendars that are followed, worked out at most once an hour each, however many programs ask. An entry says
/// that it changed when it did: after a restart all count as changed, which costs a program that follows them nothing.
/// </summary>
internal sealed class CalendarShelf(LawnToday today, SenderOptions sender, TimeProvider clock)
{
    /// <summary>Calendars kept; beyond that the oldest are worked out anew when they are asked for.</summary>
    private const int Most = 5000;

    private static readonly Duration GoodFor = Duration.FromHours(1);

    private readonly ConcurrentDictionary<long, Kept> _kept = [];

    public async Task<ServedCalendar> OfAsync(Lawn lawn, CancellationToken cancel)
    {
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        var known = _kept.GetValueOrDefault(lawn.Id);
        if (known is not null && now - known.Served.MadeAt < GoodFor)
        {
            return known.Served;
        }

        var entries = LawnCalendar.Of(await today.YearAsync(lawn, cancel));
        var stamps = entries.ToDictionary(
            e => e.Key,
            e =>
                known?.Stamps.GetValueOrDefault(e.Key) is { } before
                && before.Print == e.Fingerprint()
                    ? before
                    : new Stamp(e.Fingerprint(), Whole(now)),
            StringComparer.Ordinal
        );
        var text = CalendarFile.Write(
            lawn,
            entries.Select(e => (e, stamps[e.Key].Changed)),
            sender.FromDomain
        );
        var tag = Convert.ToHexStringLower(
            SHA256.HashData(Encoding.UTF8.GetBytes(text)).AsSpan(0, 16)
        );
        var served = new ServedCalendar(text, $"\"{tag}\"", now);
        _kept[lawn.Id] = new(served, stamps);
        Trim();
        return served;
    }

    private static Instant Whole(Instant at) => Instant.FromUnixTimeSeconds(at.ToUnixTimeSeconds());

    private void Trim()
    {
        if (_kept.Count <= Most)
        {
            return;
        }

        foreach (var (lawnId, _) in _kept.OrderBy(k => k.Value.Served.MadeAt).Take(Most / 10))
        {
            _kept.TryRemove(lawnId, out _);
        }
    }

    private sealed record Stamp(string Print, Instant Changed);

    private sealed record Kept(ServedCalendar Served, Dictionary<string, Stamp> Stamps);
}
