namespace TurfWatch.Mail;

/// <summary>What became of one attempt to send one message.</summary>
public abstract record SendOutcome
{
    private SendOutcome() { }

    /// <summary>The other side took the message and is responsible for it now.</summary>
    /// <param name="Reply">Its answer; holds the relay's queue id.</param>
    public sealed record Accepted(string Reply) : SendOutcome;

    /// <summary>Known not to be taken; the same message may be tried again later.</summary>
    /// <param name="Reply">The answer, or why there is none.</param>
    /// <param name="RetryAfter">How long the relay asks to be left alone ("retry in 5 minutes"); null when it does not say.</param>
    public sealed record Temporary(string Reply, TimeSpan? RetryAfter) : SendOutcome;

    /// <summary>Refused for good; trying the same message again is pointless.</summary>
    /// <param name="Reply">The answer.</param>
    /// <param name="HardBounce">The mailbox or its domain does not exist: it counts against the address.</param>
    public sealed record Permanent(string Reply, bool HardBounce) : SendOutcome;

    /// <summary>The whole body was out and no answer came: it may or may not have been taken.</summary>
    /// <param name="Reason">What happened instead of an answer.</param>
    public sealed record Unknown(string Reason) : SendOutcome;

    /// <summary>
    /// No mail transaction could even begin (no connection, no encryption, login refused). Nothing is
    /// wrong with the message: leave its row as it was, burn no attempt, and give the relay a rest.
    /// </summary>
    /// <param name="Reason">What is wrong, for the operator.</param>
    public sealed record RelayDown(string Reason) : SendOutcome;
}
