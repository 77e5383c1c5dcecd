using System.Collections.Concurrent;
using NodaTime;

namespace TurfWatch.Host.Web;

/// <summary>What the jobs say of themselves, for the health pages: when each last ran, and what troubles it.</summary>
public sealed class HealthBoard(TimeProvider clock)
{
    private readonly ConcurrentDictionary<string, Instant> _ticks = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, (Instant Since, string Sentence)> _troubles = new(
        StringComparer.Ordinal
    );

    private readonly ConcurrentDictionary<string, Instant> _successes = new(StringComparer.Ordinal);

    /// <summary>Set while the service winds down: it takes no new work.</summary>
    public bool Draining { get; set; }

    public void Ticked(string job) => _ticks[job] = Now();

    public Instant? LastTick(string job) => _ticks.TryGetValue(job, out var at) ? at : null;

    /// <summary>A job did its work.</summary>
    public void Succeeded(string job)
    {
        Ticked(job);
        _successes[job] = Now();
        Well(job);
    }

    /// <summary>When each job last did its work.</summary>
    public IReadOnlyList<(string Job, Instant At)> Successes() =>
        [.. _successes.OrderBy(s => s.Key, StringComparer.Ordinal).Select(s => (s.Key, s.Value))];

    /// <summary>Something is wrong in an area (weather, mail, store); it keeps the time since when.</summary>
    public void Trouble(string area, string sentence)
    {
        var now = Now();
        _troubles.AddOrUpdate(area, _ => (now, sentence), (_, old) => (old.Since, sentence));
    }

    public void Well(string area) => _troubles.TryRemove(area, out _);

    public IReadOnlyList<(string Area, Instant Since, string Sentence)> Troubles() =>
        [
            .. _troubles
                .OrderBy(t => t.Key, StringComparer.Ordinal)
                .Select(t => (t.Key, t.Value.Since, t.Value.Sentence)),
        ];

    private Instant Now() => Instant.FromDateTimeOffset(clock.GetUtcNow());
}
