namespace TurfWatch.Core;

/// <summary>How much a finding weighs in the decision; also the order in which reasons are told.</summary>
public enum AdviceWeight
{
    /// <summary>Forbids mowing while it holds.</summary>
    Blocks,

    /// <summary>Shortens or shifts the hours.</summary>
    Limits,

    /// <summary>Allows it, with care.</summary>
    Cautions,

    /// <summary>Speaks for it.</summary>
    Supports,

    /// <summary>Good to know.</summary>
    Informs,
}

/// <summary>One finding: what it says, the number it rests on, the threshold it was held against, and who says so.</summary>
/// <param name="Rule">Id of the rule, for example <c>wet-leaves</c>; names the file in Advice/.</param>
/// <param name="Weight">How much it weighs.</param>
/// <param name="Text">The finding in one plain sentence.</param>
/// <param name="Evidence">The number or numbers, short: "dry by 09:40, between 09:00 and 10:30".</param>
/// <param name="Threshold">What it was held against, short: "leaves dry (chance of wet below 10 %)".</param>
/// <param name="Source">Published source, or "common practice, no source".</param>
public sealed record Finding(
    string Rule,
    AdviceWeight Weight,
    Phrase Text,
    Phrase Evidence,
    Phrase Threshold,
    string Source
);
