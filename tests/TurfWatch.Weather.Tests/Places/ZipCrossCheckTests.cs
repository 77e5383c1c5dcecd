using NodaTime;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Weather.Tests.Places;

/// <summary>A sample of ZIP codes as three libraries have them; tests/reference/zip-sample.tsv names their versions.</summary>
public sealed class ZipCrossCheckTests
{
    private static readonly Instant[] Moments =
    [
        Instant.FromUtc(2026, 1, 15, 12, 0),
        Instant.FromUtc(2026, 3, 8, 12, 0),
        Instant.FromUtc(2026, 7, 15, 12, 0),
        Instant.FromUtc(2026, 11, 1, 12, 0),
    ];

    [Fact]
    public void Coordinates_are_those_of_the_census_gazetteer()
    {
        var checkedRows = 0;
        foreach (var row in Sample().Where(r => r[1].Length > 0))
        {
            var place = ZipDirectory.Lookup(row[0]).Place!;
            Assert.Equal(double.Parse(row[1]), place.LatitudeDeg, 0.00006);
            Assert.Equal(double.Parse(row[2]), place.LongitudeDeg, 0.00006);
            checkedRows++;
        }

        Assert.True(checkedRows > 300, $"only {checkedRows} rows");
    }

    [Theory]
    [InlineData(3, 400)]
    [InlineData(4, 60)]
    public void Zones_have_the_offsets_that_other_libraries_have(int column, int atLeast)
    {
        var rows = Sample().Where(r => r[column].Length > 0).ToList();
        var differing = rows.Where(r =>
                Moments.Any(m =>
                    ZipDirectory.Lookup(r[0]).Place!.Zone.GetUtcOffset(m)
                    != DateTimeZoneProviders.Tzdb[r[column]].GetUtcOffset(m)
                )
            )
            .Select(r => r[0]);

        Assert.True(rows.Count >= atLeast, $"only {rows.Count} rows");
        Assert.Empty(differing);
    }

    private static IEnumerable<string[]> Sample() =>
        File.ReadLines(Path.Combine(AppContext.BaseDirectory, "zip-sample.tsv"))
            .Skip(2)
            .Select(line => line.Split('\t'));
}
