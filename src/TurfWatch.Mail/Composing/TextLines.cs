using System.Text;

namespace TurfWatch.Mail.Composing;

/// <summary>The lines of a text part as they are written.</summary>
internal sealed class TextLines
{
    private const int Width = 72;

    private readonly StringBuilder _text = new(8 * 1024);

    public override string ToString() => _text.Replace(PlainText.NoBreak, ' ').ToString();

    public void Line(string line = "") => _text.Append(line).Append('\n');

    public void Heading(string heading)
    {
        Line();
        Line(heading);
    }

    /// <summary>A sentence broken into lines; nothing when it is empty.</summary>
    public void Wrapped(string sentence, string first = "", string rest = "")
    {
        if (sentence.Length > 0)
        {
            PlainText.Wrap(_text, sentence, first, rest, Width);
        }
    }

    public void Items(IReadOnlyList<string> items, string indent = "")
    {
        foreach (var item in items)
        {
            Wrapped(item, $"{indent}- ", $"{indent}  ");
        }
    }

    public void List(string heading, IReadOnlyList<string> items)
    {
        if (items.Count > 0)
        {
            Heading(heading);
            Items(items);
        }
    }

    public void Findings(string heading, IReadOnlyList<FindingView> findings)
    {
        if (findings.Count == 0)
        {
            return;
        }

        Heading(heading);
        foreach (var finding in findings)
        {
            Finding(finding, "* ", "  ");
        }
    }

    public void Finding(FindingView finding, string first, string rest)
    {
        var weight = finding.Weight.Length > 0 ? $"{finding.Weight}: " : "";
        Wrapped($"{weight}{finding.Text}", first, rest);
        Wrapped(finding.Evidence, $"{rest}Found: ", $"{rest}       ");
        Wrapped(finding.Threshold, $"{rest}Rule: ", $"{rest}      ");
        Wrapped(finding.Source, $"{rest}Source: ", $"{rest}        ");
    }

    /// <summary>Links, each with its address on a line of its own.</summary>
    public void Links(string heading, IReadOnlyList<LinkView> links)
    {
        if (links.Count == 0)
        {
            return;
        }

        Heading(heading);
        foreach (var link in links)
        {
            Wrapped($"{link.Label}:");
            Line(link.Address);
        }
    }

    public void Facts(string heading, IReadOnlyList<FactView> facts) =>
        List(heading, [.. facts.Select(f => $"{f.Label}: {f.Value}")]);
}
