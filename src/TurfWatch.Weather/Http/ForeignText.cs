namespace TurfWatch.Weather.Http;

/// <summary>Text that a service sent, made fit for a log, a message and an address.</summary>
internal static class ForeignText
{
    /// <summary>Longest text for an operator.</summary>
    public const int Longest = 600;

    private const int LongestName = 12;

    /// <summary>One line without control characters, of bounded length.</summary>
    public static string OneLine(string text, int longest = Longest)
    {
        var cut = text.Length <= longest ? text : $"{text.AsSpan(0, longest - 1)}…";
        return cut.Any(char.IsControl)
            ? string.Concat(cut.Select(c => char.IsControl(c) ? ' ' : c))
            : cut;
    }

    /// <summary>Whether it can be the name of an office or a station: it goes into the address of the next request.</summary>
    public static bool IsName(string? text) =>
        text is { Length: > 0 and <= LongestName } && text.All(char.IsAsciiLetterOrDigit);
}
