using NodaTime;

namespace TurfWatch.Host.Jobs;

/// <summary>Leaves a relay alone that cannot be reached: a pause that doubles each time, up to ten times the first.</summary>
internal sealed class RelayBreaker(Duration pause)
{
    private const int LongestPause = 10;

    private readonly Lock _gate = new();
    private Instant _until = Instant.MinValue;
    private int _failures;

    /// <summary>What was wrong last.</summary>
    public string Reason { get; private set; } = "";

    /// <summary>It failed last time: try it with one message only.</summary>
    public bool IsDoubtful => _failures > 0;

    /// <summary>The end of the pause, or null when the relay may be tried.</summary>
    public Instant? RestsUntil(Instant now)
    {
        lock (_gate)
        {
            // A clock that was set back must not stretch the pause.
            return now < _until && _until - now <= pause * LongestPause ? _until : null;
        }
    }

    /// <summary>Begins a pause, or returns the end of the one that another transaction has begun just now.</summary>
    public Instant Open(Instant now, string reason)
    {
        lock (_gate)
        {
            Reason = reason;
            if (now < _until)
            {
                return _until;
            }

            _until = now + pause * Math.Min(LongestPause, Math.Pow(2, _failures));
            _failures++;
            return _until;
        }
    }

    public void Close()
    {
        lock (_gate)
        {
            _failures = 0;
        }
    }
}
