using System.Collections.Immutable;
using System.Globalization;
using NodaTime;

namespace TurfWatch.Faults.Judging;

/// <summary>What the judge found.</summary>
internal sealed record Verdict
{
    /// <summary>Messages owed.</summary>
    public required int Rows { get; init; }

    /// <summary>Rows that say sent.</summary>
    public required int Sent { get; init; }

    /// <summary>Copies beyond the first of kinds that are never sent again, or beyond the second of the others.</summary>
    public required int Duplicates { get; init; }

    /// <summary>Second copies under the same Message-ID, which alerts and answers may have after an unknown end.</summary>
    public required int SecondCopies { get; init; }

    /// <summary>Owed messages without a row, without an end that the fault allows, or said to be sent and never taken.</summary>
    public required int Lost { get; init; }

    /// <summary>Rows that say unknown.</summary>
    public required int Unknown { get; init; }

    /// <summary>Of these, messages that the relay had taken.</summary>
    public required int UnknownArrived { get; init; }

    public required Duration Recovery { get; init; }

    /// <summary>Each broken promise with its number and the case.</summary>
    public required ImmutableArray<string> Breaches { get; init; }

    public override string ToString()
    {
        var line = string.Create(
            CultureInfo.InvariantCulture,
            $"rows {Rows}, sent {Sent}, duplicates {Duplicates}, lost {Lost}, unknown {Unknown} ({UnknownArrived} arrived), "
                + $"second copies {SecondCopies}, recovery {Recovery.TotalSeconds:0.0} s"
        );
        return Breaches.IsEmpty
            ? line
            : $"{line}\n  BREACH {string.Join("\n  BREACH ", Breaches.Take(20))}";
    }
}
