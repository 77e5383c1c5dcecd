namespace TurfWatch.Core;

/// <summary>Whether a subscriber may be written to.</summary>
public enum SubscriberStatus
{
    /// <summary>Receives list mail.</summary>
    Active,

    /// <summary>Asked to join and has not confirmed: receives the request to confirm and nothing else.</summary>
    Pending,

    /// <summary>Left, or was removed: nothing is sent.</summary>
    Left,

    /// <summary>The mailbox refuses mail for good: nothing is sent.</summary>
    Suppressed,
}

/// <summary>Someone who asked for the messages.</summary>
/// <param name="Id">Key in the store; 0 before it is stored.</param>
/// <param name="Email">Address as typed: the local part keeps its case, the domain is lower-case.</param>
/// <param name="Status">Whether mail may be sent.</param>
public sealed record Subscriber(long Id, string Email, SubscriberStatus Status);
