namespace TurfWatch.Mail.Composing;

/// <summary>Gathers the sources of a long message, so that each is told once, at its end.</summary>
internal sealed class SourceList
{
    private readonly List<string> _sources = [];

    /// <summary>The sources in the order in which they were first pointed to, each with its number.</summary>
    public IReadOnlyList<string> Told => [.. _sources.Select((s, i) => $"[{i + 1}] {s}")];

    /// <summary>The finding with the number of its source behind its last line.</summary>
    public FindingView Point(FindingView finding)
    {
        if (finding.Source.Length == 0)
        {
            return finding;
        }

        var at = _sources.IndexOf(finding.Source);
        if (at < 0)
        {
            at = _sources.Count;
            _sources.Add(finding.Source);
        }

        var mark = $"{PlainText.NoBreak}[{at + 1}]";
        return finding switch
        {
            { Threshold.Length: > 0 } => finding with
            {
                Threshold = finding.Threshold + mark,
                Source = "",
            },
            { Evidence.Length: > 0 } => finding with
            {
                Evidence = finding.Evidence + mark,
                Source = "",
            },
            _ => finding with { Text = finding.Text + mark, Source = "" },
        };
    }
}
