using NodaTime;

namespace TurfWatch.Core;

/// <summary>Fills the hours of a <see cref="WeatherSeries"/>; every value starts as missing.</summary>
public sealed class WeatherSeriesBuilder
{
    private static readonly int ColumnCount = Enum.GetValues<WeatherColumn>().Length;

    private readonly Instant _firstHourEnd;
    private readonly double[][] _columns;
    private readonly HourOrigin[] _origins;
    private readonly double _windHeightM;

    /// <param name="firstHourEnd">End of the first hour: a whole hour, UTC.</param>
    /// <param name="count">Number of hours, 0 or more.</param>
    /// <param name="windHeightM">Height of the wind [m].</param>
    /// <exception cref="ArgumentOutOfRangeException">The instant is not on the hour, or the count is negative.</exception>
    public WeatherSeriesBuilder(Instant firstHourEnd, int count, double windHeightM = 10)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        if (firstHourEnd.ToUnixTimeSeconds() % 3600 != 0)
        {
            throw new ArgumentOutOfRangeException(
                nameof(firstHourEnd),
                $"{firstHourEnd} is not on the hour; hours are stamped with their whole-hour end in UTC"
            );
        }

        _firstHourEnd = firstHourEnd;
        _windHeightM = windHeightM;
        _origins = new HourOrigin[count];
        Array.Fill(_origins, HourOrigin.None);
        _columns = new double[ColumnCount][];
        for (var c = 0; c < ColumnCount; c++)
        {
            _columns[c] = new double[count];
            Array.Fill(_columns[c], double.NaN);
        }
    }

    /// <summary>Number of hours.</summary>
    public int Count => _origins.Length;

    /// <summary>The hours of one column, to be written.</summary>
    public Span<double> this[WeatherColumn column] => _columns[(int)column];

    /// <summary>The origin of each hour, to be written.</summary>
    public Span<HourOrigin> Origins => _origins;

    /// <summary>Writes the known values and origins of <paramref name="series"/> over what is here.</summary>
    public void Lay(WeatherSeries series)
    {
        var offset = (int)(series.FirstHourEnd - _firstHourEnd).TotalHours;
        for (var i = Math.Max(0, -offset); i < series.Count && i + offset < Count; i++)
        {
            for (var c = 0; c < ColumnCount; c++)
            {
                var value = series[(WeatherColumn)c][i];
                if (!double.IsNaN(value))
                {
                    _columns[c][i + offset] = value;
                }
            }

            if (series.Origins[i].Kind != HourKind.Missing)
            {
                _origins[i + offset] = series.Origins[i];
            }
        }
    }

    /// <summary>The finished series; the builder must not be used afterwards.</summary>
    public WeatherSeries Build() => new(_firstHourEnd, _columns, _origins, _windHeightM);
}
