using System.Text.Json;
using TurfWatch.Host.Configuration;
using Xunit;

namespace TurfWatch.Host.Tests.Configuration;

/// <summary>Holds config/turfwatch.example.json and docs/configuration.md to the options classes.</summary>
public sealed class ExampleFileTests
{
    private static readonly string Root = Repository.Root;

    private static readonly Dictionary<string, string> Expected = OptionsCatalog
        .All.SelectMany(o =>
        {
            var defaults = Activator.CreateInstance(o.Type)!;
            return o.Keys.Select(k => (k.Key, Value: Show(k.Property.GetValue(defaults))));
        })
        .ToDictionary(k => k.Key, k => k.Value, StringComparer.Ordinal);

    [Fact]
    public void The_example_holds_every_option_with_its_default_and_nothing_else()
    {
        var found = new Dictionary<string, string>(StringComparer.Ordinal);
        using var example = JsonDocument.Parse(
            File.ReadAllText(Path.Combine(Root, "config/turfwatch.example.json")),
            new JsonDocumentOptions
            {
                CommentHandling = JsonCommentHandling.Skip,
                AllowTrailingCommas = true,
            }
        );
        Flatten("", example.RootElement, found);

        Assert.Equal(
            Expected.Select(k => $"{k.Key} = {k.Value}").Order(StringComparer.Ordinal),
            found.Select(k => $"{k.Key} = {k.Value}").Order(StringComparer.Ordinal)
        );
    }

    [Fact]
    public void The_example_has_a_comment_above_every_option()
    {
        var lines = File.ReadAllLines(Path.Combine(Root, "config/turfwatch.example.json"));
        var bare = lines
            .Where(
                (line, i) =>
                    line.TrimStart().StartsWith('"')
                    && !line.TrimEnd().EndsWith('{')
                    && !lines[i - 1].TrimStart().StartsWith("//", StringComparison.Ordinal)
            )
            .ToArray();

        Assert.Empty(bare);
    }

    [Fact]
    public void The_configuration_page_lists_every_option_with_its_default_and_nothing_else()
    {
        var rows = File.ReadLines(Path.Combine(Root, "docs/configuration.md"))
            .Where(line => line.StartsWith("| `", StringComparison.Ordinal))
            .Select(line => line.Split('|', StringSplitOptions.TrimEntries))
            .ToDictionary(
                cells => cells[1].Trim('`'),
                cells => cells[2].Trim('`'),
                StringComparer.Ordinal
            );

        Assert.Equal(
            Expected.Select(k => $"{k.Key} = {k.Value}").Order(StringComparer.Ordinal),
            rows.Select(k => $"{k.Key} = {k.Value}").Order(StringComparer.Ordinal)
        );
    }

    private static void Flatten(
        string prefix,
        JsonElement element,
        Dictionary<string, string> found
    )
    {
        foreach (var property in element.EnumerateObject())
        {
            var key = prefix.Length == 0 ? property.Name : $"{prefix}:{property.Name}";
            if (property.Value.ValueKind == JsonValueKind.Object)
            {
                Flatten(key, property.Value, found);
            }
            else
            {
                found.Add(key, property.Value.GetRawText());
            }
        }
    }

    /// <summary>A default as JSON.</summary>
    private static string Show(object? value) =>
        value switch
        {
            null => "null",
            bool flag => flag ? "true" : "false",
            int or long or double => FormattableString.Invariant($"{value}"),
            System.Collections.IEnumerable list and not string => "["
                + string.Join(", ", list.Cast<object>().Select(Show))
                + "]",
            _ => $"\"{value}\"",
        };
}
