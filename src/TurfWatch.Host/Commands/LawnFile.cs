using System.Collections.Immutable;
using System.Text.Json;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>A lawn file: the words of the lawn options, and a journal.</summary>
internal sealed record LawnFile(
    IReadOnlyDictionary<string, string> Described,
    ImmutableArray<JournalEntry> Journal
)
{
    public static LawnFile Empty { get; } =
        new(new Dictionary<string, string>(StringComparer.Ordinal), []);

    private static readonly JsonDocumentOptions Lenient = new()
    {
        CommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
    };

    public static LawnFile Read(string path, ICollection<string> faults)
    {
        try
        {
            using var json = JsonDocument.Parse(File.ReadAllText(path), Lenient);
            return Read(json.RootElement, faults);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            faults.Add($"--lawn names '{path}', which cannot be read: {e.Message}");
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            faults.Add(
                $"--lawn names '{path}', which is not a JSON object of lawn words: {e.Message}"
            );
        }

        return Empty;
    }

    private static LawnFile Read(JsonElement root, ICollection<string> faults)
    {
        var words = new Dictionary<string, string>(StringComparer.Ordinal);
        var journal = new List<JournalEntry>();
        foreach (var property in root.EnumerateObject())
        {
            if (property.NameEquals("journal"))
            {
                journal.AddRange(
                    property
                        .Value.EnumerateArray()
                        .Select(e => Entry(e, faults))
                        .OfType<JournalEntry>()
                );
            }
            else if (LawnWords.All.All(w => !property.NameEquals(w.Name)))
            {
                faults.Add(
                    $"the lawn file holds '{property.Name}', which is not a word for a lawn; the words are {string.Join(", ", LawnWords.All.Select(w => w.Name))} and journal."
                );
            }
            else
            {
                words[property.Name] = property.Value.ValueKind switch
                {
                    JsonValueKind.True => "yes",
                    JsonValueKind.False => "no",
                    JsonValueKind.Object => Findings(property.Value),
                    _ => property.Value.ToString(),
                };
            }
        }

        return new(words, [.. journal.OrderBy(e => e.Date)]);
    }

    private static JournalEntry? Entry(JsonElement entry, ICollection<string> faults)
    {
        var words = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var property in entry.EnumerateObject())
        {
            if (
                property.Name is not ("what" or "on")
                && JournalWords.All.All(w => !property.NameEquals(w.Name))
            )
            {
                faults.Add(
                    $"the journal of the lawn file holds '{property.Name}', which is not a word for it; the words are what, on, {string.Join(", ", JournalWords.All.Select(w => w.Name))}."
                );
            }

            words[property.Name] = property.Value.ToString();
        }

        return JournalWords.Read(words, word => "journal: " + word, null, faults);
    }

    /// <summary>A soil test may be written as an object: <c>{ "on": "2026-03-10", "ph": 7.9 }</c>.</summary>
    private static string Findings(JsonElement test) =>
        string.Join(
            ',',
            test.EnumerateObject()
                .Select(p => p.NameEquals("on") ? p.Value.ToString() : $"{p.Name}={p.Value}")
        );
}
