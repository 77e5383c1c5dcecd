namespace TurfWatch.Weather.Http;

/// <summary>A body that must not be used: not JSON, cut short, or too large.</summary>
internal sealed class BadBodyException(string message, bool mayPass, Exception? inner = null)
    : Exception(message, inner)
{
    /// <summary>Whether asking again soon may help.</summary>
    public bool MayPass => mayPass;
}

/// <summary>The service asked for a pause that is not over: nothing was sent.</summary>
internal sealed class HeldBackException(string message, TimeSpan remaining) : Exception(message)
{
    /// <summary>How much of the pause is left.</summary>
    public TimeSpan Remaining => remaining;
}
