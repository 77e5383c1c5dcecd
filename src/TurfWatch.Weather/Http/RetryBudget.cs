namespace TurfWatch.Weather.Http;

/// <summary>
/// Extra tries that the whole process may make. Each request earns a share of one, and one more comes
/// each minute, so that a single household is not left without; never more than the burst is saved up.
/// </summary>
internal sealed class RetryBudget(double ratio, int burst, TimeProvider time)
{
    private readonly Lock _lock = new();
    private double _tokens = burst;
    private long _refilled = time.GetTimestamp();

    /// <summary>A request begins.</summary>
    public void Earn()
    {
        lock (_lock)
        {
            _tokens = Math.Min(burst, _tokens + ratio);
        }
    }

    /// <summary>Takes one extra try, if there is one.</summary>
    public bool TrySpend()
    {
        lock (_lock)
        {
            var now = time.GetTimestamp();
            if (ratio > 0)
            {
                var minutes = time.GetElapsedTime(_refilled, now).TotalMinutes;
                _tokens = Math.Min(burst, _tokens + minutes);
            }

            _refilled = now;
            if (_tokens < 1)
            {
                return false;
            }

            _tokens--;
            return true;
        }
    }
}
