namespace TurfWatch.Host.Jobs;

/// <summary>Spaces messages evenly: so many a second in all, and so many to one mail domain.</summary>
public sealed class DeliveryPacer(TimeProvider time, double perSecond, double perDomainPerSecond)
{
    private const int RememberedDomains = 10_000;

    private readonly Lock _gate = new();
    private readonly Dictionary<string, long> _domains = new(StringComparer.OrdinalIgnoreCase);
    private long _next;

    /// <summary>Returns when the recipient's turn has come.</summary>
    public async Task WaitAsync(string recipient, CancellationToken cancellation)
    {
        if (perDomainPerSecond > 0)
        {
            await DelayAsync(
                DomainTurn(recipient[(recipient.LastIndexOf('@') + 1)..]),
                cancellation
            );
        }

        if (perSecond > 0)
        {
            await DelayAsync(Turn(), cancellation);
        }
    }

    private long DomainTurn(string domain)
    {
        lock (_gate)
        {
            if (_domains.Count > RememberedDomains)
            {
                _domains.Clear();
            }

            _domains.TryGetValue(domain, out var next);
            next = Math.Max(next, time.GetTimestamp());
            _domains[domain] = next + Ticks(perDomainPerSecond);
            return next;
        }
    }

    private long Turn()
    {
        lock (_gate)
        {
            var turn = Math.Max(_next, time.GetTimestamp());
            _next = turn + Ticks(perSecond);
            return turn;
        }
    }

    private long Ticks(double rate) => (long)(time.TimestampFrequency / rate);

    private Task DelayAsync(long turn, CancellationToken cancellation)
    {
        var wait = time.GetElapsedTime(time.GetTimestamp(), turn);
        return wait > TimeSpan.Zero ? Task.Delay(wait, time, cancellation) : Task.CompletedTask;
    }
}
