using System.Text.RegularExpressions;

namespace TurfWatch.Host.Answers;

/// <summary>Lines that speak of a deed and tell of none: denied, asked, planned, or done to something else than the lawn.</summary>
internal static partial class Unreal
{
    /// <summary>Why the line tells of no deed; null when it tells of one.</summary>
    public static string? Why(string line) =>
        IsQuestion(line)
            ? "this is a question, so nothing was written down; write what was done, or help"
        : DeniedForm().IsMatch(line)
            ? "this says that something was not done, so nothing was written down; write only what was done"
        : PlannedForm().IsMatch(line)
            ? "this is still to come, so nothing was written down; write it when it is done"
        : ElsewhereForm().IsMatch(line)
            ? "this is not about the lawn, so nothing was written down; write for example: mowed 2 in, or watered 20 min"
        : null;

    /// <summary>Whether a line asks; a lone "help?" or "stop?" does not.</summary>
    public static bool IsQuestion(string line) =>
        line.TrimEnd().EndsWith('?') && line.Contains(' ', StringComparison.Ordinal);

    /// <summary>Whether a line denies, plans or supposes somewhere.</summary>
    public static bool Doubts(string line) =>
        DeniedForm().IsMatch(line) || PlannedForm().IsMatch(line);

    [GeneratedRegex(
        @"\b(not|no|never|didn['’]?t|haven['’]?t|hasn['’]?t|don['’]?t|couldn['’]?t|wasn['’]?t|won['’]?t|cannot|can['’]?t|forgot|nearly|almost)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex DeniedForm();

    [GeneratedRegex(
        @"\b(will|going to|gonna|about to|tomorr?ow|tmrw|plan|plans|planned|planning|should|i['’]ll|we['’]ll|want|wants|wanted|need|needs|needed|if|would|could|might|may be|maybe|wish|hope|hoping|try|tried|trying|must|have to|has to|had to|supposed|later today|next (week|time|month|year))\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex PlannedForm();

    // "Fed the dog", "watered the flowers", "cut the hedge", "cut back on water".
    [GeneratedRegex(
        @"\b(cut|fed|feed|fertili[sz]ed|water(ed)?|seeded|sow(ed|n)|planted|mowed)\s+(all\s+|some\s+|down\s+|back\s+)?((the|my|our|new|a|some|all)\s+)*(plants?|flowers?|flower\s?beds?|beds?|(vegetable |veggie |herb )?garden|veg(gies|etables)?|tomato(es)?|roses?|trees?|shrubs?|bush(es)?|hedges?|limbs?|branch(es)?|pots?|planters?|dogs?|cats?|kids?|birds?|fish|chickens?|fingers?|hand|thumb|toe|myself|hair|hose|cable|wire|line|wood|power|e?-?mails?|messages?|on\s+(the\s+)?water\w*)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex ElsewhereForm();
}
