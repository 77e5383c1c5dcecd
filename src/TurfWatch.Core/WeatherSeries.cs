using NodaTime;

namespace TurfWatch.Core;

/// <summary>
/// Hourly weather in SI units, UTC, stamped with the end of the hour. A missing value is
/// <see cref="double.NaN"/>, never zero. Immutable from outside; build one with
/// <see cref="WeatherSeriesBuilder"/>.
/// </summary>
public sealed class WeatherSeries
{
    private static readonly int ColumnCount = Enum.GetValues<WeatherColumn>().Length;

    private readonly double[][] _columns;
    private readonly HourOrigin[] _origins;

    internal WeatherSeries(
        Instant firstHourEnd,
        double[][] columns,
        HourOrigin[] origins,
        double windHeightM
    )
    {
        FirstHourEnd = firstHourEnd;
        _columns = columns;
        _origins = origins;
        WindHeightM = windHeightM;
    }

    /// <summary>A series without hours.</summary>
    public static WeatherSeries Empty { get; } =
        new WeatherSeriesBuilder(Instant.FromUnixTimeSeconds(0), 0).Build();

    /// <summary>End of the first hour.</summary>
    public Instant FirstHourEnd { get; }

    /// <summary>Number of hours, gaps included.</summary>
    public int Count => _origins.Length;

    /// <summary>Height above ground of <see cref="WeatherColumn.WindSpeedMS"/> [m]; 10 for the public services.</summary>
    public double WindHeightM { get; }

    /// <summary>End of the last hour.</summary>
    public Instant LastHourEnd => FirstHourEnd + Duration.FromHours(Count - 1);

    /// <summary>The hours of one column.</summary>
    public ReadOnlySpan<double> this[WeatherColumn column] => _columns[(int)column];

    /// <summary>The origin of each hour.</summary>
    public ReadOnlySpan<HourOrigin> Origins => _origins;

    /// <summary>End of hour <paramref name="index"/>.</summary>
    public Instant HourEnd(int index) => FirstHourEnd + Duration.FromHours(index);

    /// <summary>Index of the hour that ends at or first after <paramref name="instant"/>; may lie outside the series.</summary>
    public int IndexOf(Instant instant) =>
        (int)Math.Ceiling((instant - FirstHourEnd).TotalHours - 1e-9);

    /// <summary>The hours that end in [<paramref name="from"/>, <paramref name="to"/>], cut to what exists.</summary>
    public WeatherSeries Slice(Instant from, Instant to)
    {
        var first = Math.Clamp(IndexOf(from), 0, Count);
        var last = Math.Clamp(
            (int)Math.Floor((to - FirstHourEnd).TotalHours + 1e-9),
            -1,
            Count - 1
        );
        var length = Math.Max(0, last - first + 1);
        var columns = new double[ColumnCount][];
        for (var c = 0; c < ColumnCount; c++)
        {
            columns[c] = _columns[c].AsSpan(first, length).ToArray();
        }

        return new(HourEnd(first), columns, _origins.AsSpan(first, length).ToArray(), WindHeightM);
    }

    /// <summary>
    /// This series laid over <paramref name="below"/>: where this one has a value it stands, elsewhere
    /// the one below shows through, value by value. The hour's origin is this series' where it has one.
    /// </summary>
    /// <exception cref="ArgumentException">The two have their wind at different heights, or off the whole hour from one another.</exception>
    public WeatherSeries Over(WeatherSeries below)
    {
        if (below.Count == 0)
        {
            return this;
        }

        if (Count == 0)
        {
            return below;
        }

        if (below.WindHeightM != WindHeightM)
        {
            throw new ArgumentException(
                $"wind at {below.WindHeightM} m cannot be merged with wind at {WindHeightM} m; bring both to one height first",
                nameof(below)
            );
        }

        var first = Instant.Min(FirstHourEnd, below.FirstHourEnd);
        var last = Instant.Max(LastHourEnd, below.LastHourEnd);
        var builder = new WeatherSeriesBuilder(
            first,
            (int)(last - first).TotalHours + 1,
            WindHeightM
        );
        builder.Lay(below);
        builder.Lay(this);
        return builder.Build();
    }
}
