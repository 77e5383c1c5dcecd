using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>Reads a table of Data/ (its first line names library and version, its second the columns).</summary>
internal static class ReferenceTable
{
    public static IEnumerable<Dictionary<string, string>> Rows(string file)
    {
        var lines = File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Data", file));
        Assert.StartsWith("# computed with ", lines[0], StringComparison.Ordinal);
        Assert.True(lines.Length > 40, $"{file} is too short to check anything");
        var header = lines[1].Split(',');
        return lines
            .Skip(2)
            .Select(line => header.Zip(line.Split(',')).ToDictionary(p => p.First, p => p.Second));
    }

    public static double Number(this Dictionary<string, string> row, string column) =>
        double.Parse(row[column]);
}
