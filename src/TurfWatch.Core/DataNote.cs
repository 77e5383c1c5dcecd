using NodaTime;

namespace TurfWatch.Core;

/// <summary>How far a piece of input can be trusted.</summary>
public enum DataStanding
{
    /// <summary>As recent as the source normally gives it.</summary>
    Fresh,

    /// <summary>An older answer, still within its limit; the message says so.</summary>
    Stale,

    /// <summary>Not to be had, or too old to use; the message says so and widens or withholds its advice.</summary>
    Missing,
}

/// <summary>What was asked of the weather services.</summary>
public enum DataSubject
{
    /// <summary>Hours to come.</summary>
    Forecast,

    /// <summary>The last days at a station.</summary>
    Observations,

    /// <summary>The past weeks that the soil column is spun up on.</summary>
    History,

    /// <summary>Warnings in force.</summary>
    Hazards,

    /// <summary>Past years at the place.</summary>
    Climate,
}

/// <summary>What a message says of one input: from whom, how old, how good.</summary>
/// <param name="Subject">What it is.</param>
/// <param name="SourceName">The source's name as its terms ask it to be credited, for example "US National Weather Service".</param>
/// <param name="DataTime">When the source made it (not when we fetched it); null when missing.</param>
/// <param name="Standing">Fresh, stale or missing.</param>
/// <param name="Reason">For the operator and, in plain words, for the reader: why it is stale or missing; null when fresh.</param>
public sealed record DataNote(
    DataSubject Subject,
    string SourceName,
    Instant? DataTime,
    DataStanding Standing,
    string? Reason = null
)
{
    /// <summary>The one day (UTC) that is meant; null when the note is on the whole of the subject.</summary>
    public LocalDate? Day { get; init; }
}
