using System.Globalization;

namespace TurfWatch.Host.People;

/// <summary>
/// Lines of a table in the form of RFC 4180, for spreadsheets. Text that a spreadsheet would take for a formula gets an
/// apostrophe in front: it was typed by somebody, and must not be worked out on somebody's machine.
/// </summary>
internal static class CsvText
{
    private const string Signs = "=+-@|%＝＋－＠";

    public static string Line(params IEnumerable<object?> cells) =>
        string.Join(',', cells.Select(Cell)) + "\r\n";

    private static string Cell(object? value) =>
        value switch
        {
            null => "",
            double number => number.ToString("0.######", CultureInfo.InvariantCulture),
            IFormattable number and (int or long) => number.ToString(
                null,
                CultureInfo.InvariantCulture
            ),
            _ => Quoted(Inert(value.ToString() ?? "")),
        };

    // Spaces and control characters before the sign do not keep every spreadsheet from seeing it; nor does its wide form.
    private static string Inert(string text)
    {
        var start = text.AsSpan().TrimStart();
        return
            start.Length > 0
            && (Signs.Contains(start[0], StringComparison.Ordinal) || char.IsControl(text[0]))
            ? "'" + text
            : text;
    }

    private static string Quoted(string text) =>
        $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
