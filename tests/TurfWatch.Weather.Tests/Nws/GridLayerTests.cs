using System.Text.Json;
using CsCheck;
using NodaTime;
using TurfWatch.Weather.Nws;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>Raw layers: run lengths, totals, units.</summary>
public sealed class GridLayerTests
{
    private static readonly Instant Start = Instant.FromUtc(2026, 3, 1, 6, 0);

    /// <summary>Lengths that grids have been seen to use (ISO 8601 durations).</summary>
    [Theory]
    [InlineData("PT1H", 1)]
    [InlineData("PT21H", 21)]
    [InlineData("P1D", 24)]
    [InlineData("P1DT13H", 37)]
    [InlineData("P2DT16H", 64)]
    [InlineData("P3DT10H", 82)]
    [InlineData("P7D", 168)]
    [InlineData("P8DT6H", 198)]
    [InlineData("PT90M", 1.5)]
    public void Iso_durations_are_read(string length, double hours)
    {
        var interval = GridLayer.Interval($"2026-03-01T06:00:00+00:00/{length}");
        Assert.Equal((Start, Start + Duration.FromHours(hours)), interval);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("2026-03-01T06:00:00+00:00")]
    [InlineData("2026-03-01T06:00:00/PT1H")] // no offset: not known to be UTC
    [InlineData("2026-03-01T06:00:00+00:00/1 hour")]
    [InlineData("2026-03-01T06:00:00+00:00/PT0H")]
    [InlineData("2026-03-01T06:00:00+00:00/-PT3H")]
    [InlineData("2026-03-01T06:00:00+00:00/P9999D")]
    [InlineData("2026-03-01T06:00:00+00:00/P99999999999D")]
    public void What_is_no_interval_is_left_out(string? text) =>
        Assert.Null(GridLayer.Interval(text));

    [Fact]
    public void A_start_with_another_offset_is_the_same_instant() =>
        Assert.Equal(Start, GridLayer.Interval("2026-03-01T00:00:00-06:00/PT1H")!.Value.Start);

    [Fact]
    public void Expansion_of_any_runs_equals_the_hours_written_out_one_by_one() =>
        Runs.Sample(runs =>
        {
            var (layer, hours) = Written(runs, asTotals: false);
            AssertSame(hours, GridLayer.Repeat(layer, Start, hours.Length));
        });

    [Fact]
    public void Splitting_any_totals_equals_the_shares_written_out_and_keeps_the_sum() =>
        Runs.Sample(runs =>
        {
            var (layer, hours) = Written(runs, asTotals: true);
            var split = GridLayer.Split(layer, Start, hours.Length);
            AssertSame(hours, split);
            Assert.Equal(layer.Sum(r => r.Value), split.Where(double.IsFinite).Sum(), 1e-6);
        });

    [Fact]
    public void Hours_outside_the_layer_are_missing_on_both_sides()
    {
        List<GridRun> runs = [new(Start, Start + Duration.FromHours(2), 4)];
        var before = Start - Duration.FromHours(1);
        AssertSame([double.NaN, 4, 4, double.NaN], GridLayer.Repeat(runs, before, 4));
        AssertSame([double.NaN, 2, 2, double.NaN], GridLayer.Split(runs, before, 4));
    }

    [Fact]
    public void A_total_is_cut_by_the_clock_hours_and_a_part_covered_hour_is_missing()
    {
        List<GridRun> runs =
        [
            new(Start, Start + Duration.FromMinutes(90), 3),
            new(Start + Duration.FromMinutes(90), Start + Duration.FromMinutes(150), 4),
        ];
        // 3 mm over 1.5 h is 2 mm/h; 4 mm over 1 h: the second hour is half of each.
        AssertSame([2, 3, double.NaN], GridLayer.Split(runs, Start, 3));
    }

    [Fact]
    public void Should_runs_overlap_the_earlier_one_stands()
    {
        List<GridRun> runs =
        [
            new(Start, Start + Duration.FromHours(2), 2),
            new(Start + Duration.FromHours(1), Start + Duration.FromHours(3), 20),
        ];
        AssertSame([2, 2, 20], GridLayer.Repeat(runs, Start, 3));
        AssertSame([1, 1, 10], GridLayer.Split(runs, Start, 3));
    }

    [Theory]
    [InlineData("wmoUnit:km_h-1", 5)]
    [InlineData("unit:m_s-1", 18)]
    [InlineData("m_s-1", 18)]
    public void A_unit_counts_by_what_follows_the_colon(string unit, double expected) =>
        Assert.Equal(
            expected,
            Wind($$"""{"uom":"{{unit}}","values":[{{Hour(18)}}]}""").Single().Value
        );

    [Fact]
    public void A_unit_may_be_called_unitCode() =>
        Assert.Equal(
            5,
            Wind($$"""{"unitCode":"wmoUnit:km_h-1","values":[{{Hour(18)}}]}""").Single().Value
        );

    [Theory]
    [InlineData("\"uom\":\"wmoUnit:kt\",")]
    [InlineData("\"uom\":\"wmoUnit:degC\",")]
    [InlineData("\"uom\":null,")]
    [InlineData("")]
    public void An_unknown_unit_is_refused_and_told(string unit)
    {
        var json = JsonDocument.Parse(
            $$$"""{"windSpeed":{ {{{unit}}} "values":[{{{Hour(18)}}}]}}"""
        );
        Assert.Null(
            GridLayer.Read(json.RootElement, "windSpeed", NwsQuantity.SpeedMS, out var fault)
        );
        Assert.Contains("windSpeed", fault, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("""{"windSpeed":null}""")]
    [InlineData("""{"windSpeed":{"values":[]}}""")]
    [InlineData("""{"windSpeed":{"uom":"wmoUnit:km_h-1"}}""")]
    [InlineData(
        """{"windSpeed":{"uom":"wmoUnit:km_h-1","values":[null,3,{"value":1},{"validTime":"x","value":1}]}}"""
    )]
    public void An_absent_or_empty_layer_is_no_fault(string properties)
    {
        var json = JsonDocument.Parse(properties).RootElement;
        Assert.Null(GridLayer.Read(json, "windSpeed", NwsQuantity.SpeedMS, out var fault));
        Assert.Null(fault);
    }

    private static Gen<List<(int Hours, double? Value)>> Runs =>
        Gen.Select(
            Gen.Int[1, 60],
            Gen.Frequency(
                (4, Gen.Double[0, 50].Select(v => (double?)v)),
                (1, Gen.Const((double?)null))
            )
        ).List[1, 12];

    /// <summary>The layer as parsed from the service's JSON, and the hours it stands for, written out naively.</summary>
    private static (List<GridRun> Layer, double[] Hours) Written(
        List<(int Hours, double? Value)> runs,
        bool asTotals
    )
    {
        var hours = new List<double>();
        var values = new List<(string, object?)>();
        foreach (var (length, value) in runs)
        {
            values.Add((GridBody.Time(Start + Duration.FromHours(hours.Count), length), value));
            for (var i = 0; i < length; i++)
            {
                hours.Add((value ?? double.NaN) / (asTotals ? length : 1));
            }
        }

        var body = new GridBody().Layer("layer", "wmoUnit:mm", [.. values]).Parsed();
        return (GridLayer.Read(body, "layer", NwsQuantity.WaterMm, out _) ?? [], [.. hours]);
    }

    private static void AssertSame(double[] expected, double[] actual)
    {
        Assert.Equal(expected.Length, actual.Length);
        for (var i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], actual[i], 1e-9);
        }
    }

    private static string Hour(double value) =>
        $$"""{"validTime":"2026-03-01T06:00:00+00:00/PT1H","value":{{value}}}""";

    private static List<GridRun> Wind(string layer) =>
        GridLayer.Read(
            JsonDocument.Parse($$"""{"windSpeed":{{layer}}}""").RootElement,
            "windSpeed",
            NwsQuantity.SpeedMS,
            out _
        )!;
}
