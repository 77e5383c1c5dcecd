using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>What one run of the delivery did.</summary>
public sealed class DeliveryReport
{
    private int _sent;
    private int _retried;
    private int _refused;
    private int _unknown;
    private int _expired;
    private int _suppressed;
    private int _returned;

    /// <summary>Taken by the relay.</summary>
    public int Sent => _sent;

    /// <summary>Refused for now.</summary>
    public int Retried => _retried;

    /// <summary>Refused for good.</summary>
    public int Refused => _refused;

    /// <summary>Nobody can tell.</summary>
    public int Unknown => _unknown;

    /// <summary>The window closed.</summary>
    public int Expired => _expired;

    /// <summary>The subscriber left.</summary>
    public int Suppressed => _suppressed;

    /// <summary>Put back untried.</summary>
    public int Returned => _returned;

    /// <summary>Why the run ended with messages still due, in a sentence for the operator; null when all was done.</summary>
    public string? Halted { get; private set; }

    /// <summary>The failure of the store that ended the run; null when there was none.</summary>
    public StoreException? StoreFailure { get; private set; }

    internal void Halt(string reason) => Halted ??= reason;

    internal void Halt(StoreException failure)
    {
        StoreFailure ??= failure;
        Halt(failure.Message);
    }

    internal void Count(OutboxSweep sweep)
    {
        Interlocked.Add(ref _expired, sweep.Expired);
        Interlocked.Add(ref _suppressed, sweep.Suppressed);
        Interlocked.Add(ref _refused, sweep.Dead);
        Interlocked.Add(ref _unknown, sweep.Unknown);
    }

    internal void CountSent() => Interlocked.Increment(ref _sent);

    internal void CountRetried() => Interlocked.Increment(ref _retried);

    internal void CountRefused() => Interlocked.Increment(ref _refused);

    internal void CountUnknown() => Interlocked.Increment(ref _unknown);

    internal void CountExpired() => Interlocked.Increment(ref _expired);

    internal void CountSuppressed() => Interlocked.Increment(ref _suppressed);

    internal void CountReturned() => Interlocked.Increment(ref _returned);
}
