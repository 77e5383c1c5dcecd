using System.Collections.Concurrent;

namespace TurfWatch.Weather.Http;

/// <summary>What must outlive the handlers of one origin, which the client factory replaces every few minutes.</summary>
internal sealed class OriginState(string name, OriginOptions options)
{
    private readonly Lock _lock = new();
    private DateTimeOffset _heldUntil = DateTimeOffset.MinValue;

    public string Name => name;

    public OriginOptions Options => options;

    /// <summary>Requests under way, by address: whoever asks the same meanwhile shares the answer.</summary>
    public ConcurrentDictionary<string, Lazy<Task<Answered>>> Flights { get; } =
        new(StringComparer.Ordinal);

    /// <summary>The service asked to be left alone until then.</summary>
    public void HoldUntil(DateTimeOffset until)
    {
        lock (_lock)
        {
            _heldUntil = until > _heldUntil ? until : _heldUntil;
        }
    }

    /// <summary>The end of the pause, if one is on.</summary>
    public bool IsHeld(DateTimeOffset now, out DateTimeOffset until)
    {
        lock (_lock)
        {
            until = _heldUntil;
            return now < _heldUntil;
        }
    }
}
