using System.CommandLine;
using TurfWatch.Core;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Commands;

/// <summary>The options that describe a lawn, for the commands that take one.</summary>
internal static class LawnArguments
{
    public static List<Option<string?>> Create() =>
        [
            .. LawnWords.All.Select(word => new Option<string?>("--" + word.Name)
            {
                Description = word.Means,
                HelpName = word.Takes,
            }),
        ];

    /// <summary>The lawn at a ZIP code, or null when something could not be used.</summary>
    public static Lawn? Read(
        ParseResult parse,
        string zip,
        IEnumerable<Option<string?>> options,
        List<string> faults,
        IReadOnlyDictionary<string, string>? fileWords = null
    )
    {
        var words = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var (name, text) in fileWords ?? LawnFile.Empty.Described)
        {
            words[name] = text;
        }

        foreach (var option in options)
        {
            if (parse.GetValue(option) is { } text)
            {
                words[option.Name.TrimStart('-')] = text;
            }
        }

        var answer = ZipDirectory.Lookup(zip);
        if (answer.Problem is not null)
        {
            faults.Add($"--zip is '{zip}': {answer.Problem}");
        }

        if (answer.Place is not null && words.TryGetValue("zone", out var zone))
        {
            answer = ZipDirectory.WithZone(answer.Place, zone);
            if (answer.Problem is not null)
            {
                faults.Add($"--zone is '{zone}': {answer.Problem}");
            }
        }

        // Read even without a place, so that all faults are told at once.
        var place = answer.Place ?? new Place("00000", "nowhere", "", 0, 0, "Etc/UTC");
        var lawn = LawnWords.Read(words, place, faults);
        return faults.Count == 0 ? lawn : null;
    }
}
