using System.Globalization;
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
        (GoneForm().IsMatch(line) || UnsubscribeForm().IsMatch(line)) && !StaysForm().IsMatch(line)
            ? new Leave()
        : TakeBackForm().IsMatch(line) ? new Undo()
        : BackForm().IsMatch(line) ? new Resume()
        : SpokenWishes.Read(line);

    /// <summary>Whether a line says until when, or for how long.</summary>
    public static bool NamesAnEnd(string line) => EndForm().IsMatch(line);

    /// <summary>Whether somebody is away, or wants no messages, until a day that he names: "out of town for 2 weeks".</summary>
    public static bool IsAway(string line, LocalDate today) =>
        AwayForm().IsMatch(line)
        && (
            SpokenDate.Find(line, today, ahead: true).Date is not null
            || OpenEndForm().IsMatch(line)
        );

    /// <summary>"Stop" and "cancel" are leaving, unless they are about something smaller.</summary>
    public static Answer Stop(Said said) =>
        StopWhatForm().IsMatch(said.Line)
            ? said.Fault(
                "to get no messages at all, write the one word stop; for fewer, write for example: no morning, no alerts, or digest only"
            )
        : KeepForm().IsMatch(said.Line)
            ? said.Fault(
                "it was not clear what is to be done; write undo to take your last answer back, or stop to get no more messages"
            )
        : new Leave();

    private static Change Setting(string word, string value, UnitSystem units) =>
        new(word, SpokenSetting.Word(word, value, units));

    /// <summary>Messages again, now or from a day on.</summary>
    public static Answer Resumed(Said said) =>
        SpokenDate.Find(said.Line, said.Now.Date, ahead: true).Date > said.Now.Date
            ? PauseUntil(said)
        : Unreal.Doubts(said.Line)
            ? said.Fault("from which day on? Write for example: pause until Jan 10, or: resume")
        : new Resume();

    public static Answer PauseUntil(Said said)
    {
        var (date, rest) = SpokenDate.Find(said.Line, said.Now.Date, ahead: true);
        if (
            date is null
            && (SpokenNumber.All(rest).Any() || (NamesAnEnd(rest) && !OpenEndForm().IsMatch(rest)))
        )
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
        return match.Success
            && LawnWords.All.Any(w =>
                w.Name.Equals(match.Groups[1].Value, StringComparison.OrdinalIgnoreCase)
            )
                ? Setting(
                    match.Groups[1].Value.ToLowerInvariant(),
                    match.Groups[2].Value.Trim(),
                    said.Units
                )
            : ZipForm().IsMatch(said.Line)
                ? said.Fault(
                    "a lawn stays where it is; add the one in the other place, for example: add 40502 tall fescue, 3000 sq ft"
                )
            : AnswerReader.Hint(said.Line) is { } hint ? said.Fault(hint)
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
        @"^\W*(?:please\s+|pls\s+)?(?:set|change)\s+(?:my\s+|the\s+)?(?<1>[a-z-]+)\s*(?:to\b|=|:)?\s*(?<2>.+)$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex SettingForm();

    [GeneratedRegex(
        @"^\W*((please|pls|plz|can you|could you|just|kindly|hi|hello|ok|i)\W+)*(no\s+more(\s+(of\s+)?(these|this|your))?(\s+(lawn\s+)?(messages?|mails?|e-?mails?))?|(stop|no)\s+(all\s+)?(these\s+|the\s+|your\s+)?(messages?|mails?|e-?mails?)|stop\s+(sending|writing|e-?mailing|mailing|bothering|spamming)(\s+(me|to\s+me|us))?(\s+(these|this|the|your|any|more))*(\s+(messages?|mails?|e-?mails?|stuff|spam|crap))?|(remove|delete)(\s+(me|us|my\s+(e-?mail|address|account|subscription)))?(\s+from\s+(the|your|this)\s+(mailing\s+)?list)?|take\s+me\s+off(\s+(of\s+)?(the|your|this)\s+(mailing\s+)?list)?|opt(\s+me)?[\s-]+out|quit|end|go\s+away|(i'?m\s+)?not\s+interested|leave\s+me\s+alone|(don['’]?t|do\s+not|no\s+longer)\s+(want|need|wish|send|write|e-?mail)(\s+(to\s+)?(get|receive|me))?(\s+(these|this|your|any|any\s?more|more))*(\s+(lawn\s+)?(messages?|mails?|e-?mails?|them|it))?)([\s,.!]+(any\s?more|please|pls|now|thanks|thx|thank\s+you))*\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex GoneForm();

    [GeneratedRegex(
        @"\b(unsub\w*|un-subscribe|unsuscribed?|opt\s+me\s+out|(take|get)\s+me\s+off\s+(of\s+)?(the|your|this)\s+(mailing\s+|email\s+)?list|remove\s+me\s+from)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex UnsubscribeForm();

    [GeneratedRegex(
        @"\b(don['’]?t|do\s+not|not|never|didn['’]?t)\s+((want|wish|mean|going|trying)\s+to\s+)?(unsub\w*|un-subscribe|unsuscribe|opt|remove|delete|take)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex StaysForm();

    [GeneratedRegex(
        @"^\W*((please|pls|no|oops|sorry|ok|wrong)\W+)*(take\s+(it|that|this)\s+back|cancel\s+(that|it|last|this\s+one|(the|my)\s+last(\s+\w+)?)|scratch\s+that|that('?s|\s+was|\s+is)\s+(wrong|a\s+mistake))\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex TakeBackForm();

    [GeneratedRegex(
        @"^\W*((i'?m|i\s+am|we'?re|we\s+are)\s+)?((got\s+)?back(\s+(home|now|again|from\s+(vacation|holiday|our\s+trip|my\s+trip)))*|continue|start(\s+(again|up|sending|the\s+messages|messages|my\s+messages))+|cancel\s+(the\s+)?(pause|hold))(\s+(please|pls|thanks))*\W*$",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex BackForm();

    [GeneratedRegex(
        @"^\W*((please|pls|i'?m|i\s+am|we'?re|we\s+are|i|we|will|be|going|gone|away|traveling|travelling|on|vacation|holiday|out|of|town|no|hold|messages?|mails?|e-?mails?|my|the|all|stop|pause)\W+)+(until|till?|'til|for|thru|through)\b.*",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AwayForm();

    [GeneratedRegex(
        @"\b(until|till?|for|thru|through)\s",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex EndForm();

    [GeneratedRegex(
        @"\b(further\s+notice|i\s+(say|tell|write|answer|return|resume|come|get|am)|i'?m\s+back|we\s+(return|come|get|are)|we'?re\s+back|resume|now)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex OpenEndForm();

    [GeneratedRegex(
        @"\bstop\s+(the\s+|all\s+|my\s+|sending\s+(me\s+)?)*(mow\w*|water\w*|feed\w*|fertili\w*|seed\w*|irrigat\w*|soil)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex StopWhatForm();

    [GeneratedRegex(
        @"^\W*((please|ok|i|we|just)\W+)*(leave\s+(?!(me|us|the|this|your|list|please|now|thanks)\b)\w|leave\s+the\s+(?!(list|service|mailing))\w|cancel\s+(the|my|this|that|today'?s)?\s*(mow\w*|water\w*|feed\w*|seed\w*|last|one|appointment))",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex KeepForm();

    [GeneratedRegex(
        @"\b(zip|postal|address|location|place)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex ZipForm();
}
