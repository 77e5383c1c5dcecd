using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>What one line of an owner's answer says, once understood.</summary>
internal abstract record Answer;

/// <summary>Something was done to the lawn, or seen on it.</summary>
/// <param name="Kind">What.</param>
/// <param name="Date">On which local date.</param>
internal sealed record Did(JournalKind Kind, LocalDate Date) : Answer
{
    /// <summary>In the unit of the kind; null when not told.</summary>
    public double? Amount { get; init; }

    /// <summary>Local time of a soil reading; null when not told.</summary>
    public LocalTime? Time { get; init; }

    /// <summary>Minutes of sprinkling, when no depth was told.</summary>
    public double? Minutes { get; init; }

    /// <summary>The grass that was sown or came up.</summary>
    public GrassKind? Grass { get; init; }

    /// <summary>Grade of what was fed.</summary>
    public FertilizerGrade? Grade { get; init; }

    /// <summary>Product or seed used on the whole lawn [kg]; null when a rate was told, or nothing.</summary>
    public double? WholeLawnKg { get; init; }

    /// <summary>Product used per area [g/m²], when the rate told is that of the product, not of nitrogen.</summary>
    public double? ProductGM2 { get; init; }

    /// <summary>Done as the message advised.</summary>
    public bool AsAdvised { get; init; }
}

/// <summary>No mowing advice wanted today.</summary>
internal sealed record SkipToday : Answer;

/// <summary>No messages until a date; null until told to resume.</summary>
internal sealed record Pause(LocalDate? Until) : Answer;

/// <summary>Messages again.</summary>
internal sealed record Resume : Answer;

/// <summary>Take back what the last answer did.</summary>
internal sealed record Undo : Answer;

/// <summary>How does one answer?</summary>
internal sealed record Help : Answer;

/// <summary>What is set?</summary>
internal sealed record ShowSettings : Answer;

/// <summary>Set one word of the lawn's profile, as in a lawn file.</summary>
/// <param name="Word">The word.</param>
/// <param name="Value">Its value, as a lawn file has it.</param>
internal sealed record Change(string Word, string Value) : Answer;

/// <summary>Which kinds of messages are wanted; null leaves a kind as it is.</summary>
internal sealed record Messages(bool? Morning, bool? Alerts, bool? Digest) : Answer;

/// <summary>Another lawn for the same address.</summary>
/// <param name="Lawn">The lawn; its name is empty when none was told.</param>
internal sealed record AddLawn(Lawn Lawn) : Answer;

/// <summary>Leave.</summary>
internal sealed record Leave : Answer;

/// <summary>Yes, to a request to confirm.</summary>
internal sealed record Confirm : Answer;

/// <summary>A line that was not understood, or that says something impossible.</summary>
/// <param name="Line">The line.</param>
/// <param name="Why">What is wrong and what to write instead, one sentence.</param>
internal sealed record NotUnderstood(string Line, string Why) : Answer;
