using System.Text.RegularExpressions;

namespace TurfWatch.Host;

/// <summary>An address as a log may show it: enough to tell two apart, not enough to write to.</summary>
internal static partial class AddressMask
{
    public static string Of(string address)
    {
        var at = address.LastIndexOf('@');
        return at < 1 || at == address.Length - 1 ? "***" : $"{address[0]}***@{address[at + 1]}***";
    }

    /// <summary>A text with every address in it masked.</summary>
    public static string In(string text) =>
        text.Contains('@', StringComparison.Ordinal)
        || text.Contains("%40", StringComparison.Ordinal)
            ? Address().Replace(text, static m => Of(m.Value))
            : text;

    // Also where the @ is written as in a link, and letters of any language.
    [GeneratedRegex(
        @"[^\s<>@,;:""'()\[\]{}=/\\|]+(?:@|%40)[\p{L}\p{N}_*\-]+(?:\.[\p{L}\p{N}_\-]+)*",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex Address();
}
