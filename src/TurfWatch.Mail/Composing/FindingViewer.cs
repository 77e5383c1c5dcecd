using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts findings, facts and phrases into the reader's words.</summary>
internal static class FindingViewer
{
    public static FindingView View(this PhraseFormatter say, Finding finding) =>
        new(
            finding.Weight switch
            {
                AdviceWeight.Blocks => "Against",
                AdviceWeight.Limits => "Limits the hours",
                AdviceWeight.Cautions => "Take care",
                AdviceWeight.Supports => "In favor",
                _ => "",
            },
            say.Text(finding.Text),
            say.Text(finding.Evidence),
            say.Text(finding.Threshold),
            PlainText.OneLine(finding.Source)
        );

    /// <summary>Outside the decision on mowing a weight that limits no hours is not told.</summary>
    public static FindingView Season(this PhraseFormatter say, Finding finding)
    {
        var view = say.View(finding);
        return finding.Weight is AdviceWeight.Limits or AdviceWeight.Supports
            ? view with
            {
                Weight = "",
            }
            : view;
    }

    public static IReadOnlyList<FactView> View(
        this PhraseFormatter say,
        IEnumerable<BriefingFact> facts
    ) => [.. facts.Select(f => new FactView(say.Text(f.Label), say.Text(f.Value)))];

    public static IReadOnlyList<string> Texts(
        this PhraseFormatter say,
        IEnumerable<Phrase> phrases
    ) => [.. phrases.Select(say.Text)];
}
