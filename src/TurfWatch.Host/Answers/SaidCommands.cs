using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Join;

namespace TurfWatch.Host.Answers;

/// <summary>Lines that say what the owner wants of the service.</summary>
internal static partial class SaidCommands
{
    /// <summary>A wish about the messages, however it begins; null when the line is none.</summary>
    public static Answer? Wish(string line) =>
        GoneForm().IsMatch(line) ? new Leave() : SpokenWishes.Read(line);

    public static Answer PauseUntil(Said said)
    {
        var (date, rest) = SpokenDate.Find(said.Line, said.Now.Date, ahead: true);
        if (date is null && SpokenNumber.All(rest).Any())
        {
            return said.Fault("the day was not understood; write for example: pause until Jan 10");
        }

        return date <= said.Now.Date
                ? said.Fault(
                    $"{date:uuuu-MM-dd} is not after today; write for example: pause until Jan 10"
                )
            : date > said.Now.Date.PlusYears(1)
                ? said.Fault(
                    $"{date:uuuu-MM-dd} is more than a year ahead; write a nearer day, or: stop"
                )
            : new Pause(date);
    }

    /// <summary>Another lawn: "add 40502 tall fescue, 3000 sq ft, called cabin".</summary>
    public static Answer AddLawn(Said said)
    {
        var called = CalledForm().Match(said.Line);
        var told = called.Success ? said.Line.Remove(called.Index, called.Length) : said.Line;
        return JoinReader.Read([told]) is { } lawn
            ? new AddLawn(
                lawn with
                {
                    Name = called.Success ? called.Groups["name"].Value.Trim() : "",
                    Units = said.Units,
                }
            )
            : said.Fault(
                "no ZIP code of the United States that we know is in it; write for example: add 40502 tall fescue, 3000 sq ft, called cabin"
            );
    }

    public static Answer Setting(Said said)
    {
        var match = SettingForm().Match(said.Line);
        return
            match.Success
            && LawnWords.All.Any(w =>
                w.Name.Equals(match.Groups[1].Value, StringComparison.OrdinalIgnoreCase)
            )
            ? new Change(match.Groups[1].Value.ToLowerInvariant(), match.Groups[2].Value.Trim())
            : said.Fault(
                $"write what to set and to what, for example: set height 2 in. What can be set: {string.Join(", ", LawnWords.All.Select(w => w.Name))}"
            );
    }

    [GeneratedRegex(
        @"[\s,]+(called|named)\s+[""'“]?(?<name>[\p{L}\p{N}][\p{L}\p{N} '’-]{0,38})[""'”]?",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex CalledForm();

    [GeneratedRegex(
        @"^\W*set\s+(?:my\s+|the\s+)?(?<1>[a-z-]+)\s*(?:to\b|=|:)?\s*(?<2>.+)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex SettingForm();

    [GeneratedRegex(
        @"^\W*(please\s+)?(no\s+more\s+(messages?|mails?|e-?mails?)|(stop|no)\s+(all\s+)?(messages?|mails?|e-?mails?)|stop\s+(sending|writing|e-?mailing|mailing)(\s+(me|to\s+me))?(\s+(messages?|mails?|e-?mails?))?|remove\s+me(\s+from\s+(the|your)\s+list)?|take\s+me\s+off(\s+(the|your)\s+list)?|opt(\s+me)?\s+out|quit|end)([\s,]+(please|thanks|thank\s+you))*\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex GoneForm();
}
