using System.Text;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Commands;
using static TurfWatch.Host.Web.Page;

namespace TurfWatch.Host.Web;

/// <summary>Fields of forms as HTML: each has a label, its hint and its faults are tied to it, and what was typed stays.</summary>
/// <param name="values">What the fields hold, by name.</param>
/// <param name="faults">What is wrong, by name of the field.</param>
internal sealed class Fields(
    IReadOnlyDictionary<string, string> values,
    ILookup<string, string> faults
)
{
    public bool Any => faults.Count > 0;

    /// <summary>Sentences as <see cref="Commands.LawnWords"/> makes them, by the field whose word they begin with.</summary>
    public static ILookup<string, string> ByField(
        IEnumerable<string> sentences,
        Func<string, string> nameOf
    ) => sentences.ToLookup(NameIn, s => Plain(s, nameOf), StringComparer.Ordinal);

    /// <summary>The grasses to choose from, as a lawn file calls them and by name.</summary>
    public static IEnumerable<(string Word, string Name)> Grass(GrassSeason? season = null) =>
        Grasses
            .All.Where(g => season is null || g.Season == season)
            .Select(g => (Words.Kebab(g.Kind.ToString()), g.Name));

    /// <summary>What is wrong, all at the top, each a link to its field; the browser puts the focus here.</summary>
    public string Summary()
    {
        if (!Any)
        {
            return "";
        }

        var html = new StringBuilder(
            "<div class=\"faults\" role=\"alert\" tabindex=\"-1\" autofocus><h2>Please correct this</h2><ul>"
        );
        foreach (var group in faults)
        {
            foreach (var fault in group)
            {
                html.Append(
                    group.Key.Length == 0
                        ? $"<li>{Encode(fault)}</li>"
                        : $"<li><a href=\"#{Encode(group.Key)}\">{Encode(fault)}</a></li>"
                );
            }
        }

        return html.Append("</ul></div>").ToString();
    }

    /// <param name="attributes">More attributes, as HTML of our own.</param>
    public string Text(string name, string label, string hint = "", string attributes = "") =>
        $"""
            <label for="{name}">{Encode(label)}</label>{Notes(name, label, hint)}
            <input id="{name}" name="{name}" value="{Encode(Value(name))}" {attributes}{Ties(
                name,
                hint
            )}>
            """;

    public string Select(
        string name,
        string label,
        IEnumerable<(string Value, string Words)> choices,
        string hint = ""
    )
    {
        var options = choices.Select(c =>
            $"<option value=\"{Encode(c.Value)}\"{(c.Value == Value(name) ? " selected" : "")}>{Encode(c.Words)}</option>"
        );
        return $"""
            <label for="{name}">{Encode(label)}</label>{Notes(name, label, hint)}
            <select id="{name}" name="{name}"{Ties(name, hint)}>{string.Concat(options)}</select>
            """;
    }

    /// <summary>Boxes to tick, joined by commas; the empty field before them says that they were there when none is ticked.</summary>
    public string Ticks(
        string name,
        string label,
        IEnumerable<(string Value, string Words)> choices,
        string hint = ""
    )
    {
        var ticked = Value(name).Split(',');
        var boxes = choices.Select(c =>
            $"<label><input type=\"checkbox\" name=\"{name}\" value=\"{Encode(c.Value)}\"{(ticked.Contains(c.Value) ? " checked" : "")}> {Encode(c.Words)}</label>"
        );
        return $"""
            <fieldset id="{name}" class="days"{Ties(name, hint)}><legend>{Encode(label)}</legend>{Notes(
                name,
                label,
                hint
            )}
            <input type="hidden" name="{name}" value="">{string.Concat(boxes)}</fieldset>
            """;
    }

    private string Value(string name) => values.GetValueOrDefault(name, "");

    // Beside its field a fault need not name it.
    private string Notes(string name, string label, string hint) =>
        (hint.Length > 0 ? $"<p class=\"hint\" id=\"{name}-hint\">{Encode(hint)}</p>" : "")
        + (
            faults.Contains(name)
                ? $"<p class=\"fault\" id=\"{name}-fault\">{Encode(string.Join(' ', faults[name].Select(f => f.StartsWith(label + ": ", StringComparison.Ordinal) ? f[(label.Length + 2)..] : f)))}</p>"
                : ""
        );

    private string Ties(string name, string hint)
    {
        string[] ids =
        [
            .. hint.Length > 0 ? [$"{name}-hint"] : Array.Empty<string>(),
            .. faults.Contains(name) ? [$"{name}-fault"] : Array.Empty<string>(),
        ];
        return (ids.Length > 0 ? $" aria-describedby=\"{string.Join(' ', ids)}\"" : "")
            + (faults.Contains(name) ? " aria-invalid=\"true\"" : "");
    }

    // The command line's own spelling of a word means nothing on a page.
    private static string Plain(string sentence, Func<string, string> nameOf)
    {
        var name = NameIn(sentence);
        return name.Length == 0
            ? sentence
            : nameOf(name)
                + sentence[(name.Length + 2)..].Replace(" --", " ", StringComparison.Ordinal);
    }

    private static string NameIn(string sentence) =>
        sentence.StartsWith("--", StringComparison.Ordinal)
            ? sentence[2..].Split([' ', ':'], 2)[0]
            : "";
}
