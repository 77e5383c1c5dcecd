using System.Globalization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Host.Hindcast;

/// <summary>Reads <c>hourly.csv</c> of a station folder; observations in it are left alone.</summary>
public static class HourlyFile
{
    private sealed record Field(string Name, WeatherColumn Column, double Lowest, double Highest);

    private static readonly Field[] Fields =
    [
        new("air_temperature_c", WeatherColumn.AirTemperatureC, -70, 60),
        new("relative_humidity_percent", WeatherColumn.RelativeHumidityPercent, 0, 110),
        new("wind_speed_m_s", WeatherColumn.WindSpeedMS, 0, 75),
        new("shortwave_w_m2", WeatherColumn.ShortwaveWM2, -30, 1500),
        new("longwave_down_w_m2", WeatherColumn.LongwaveDownWM2, 50, 700),
        new("cloud_cover_percent", WeatherColumn.CloudCoverPercent, 0, 100),
        new("precipitation_mm", WeatherColumn.PrecipitationMm, 0, 400),
    ];

    /// <summary>Columns that are weather.</summary>
    internal static IEnumerable<string> Names => Fields.Select(f => f.Name);

    // Each hour between the first and the last row takes room, whether or not it has a row.
    private static readonly Duration Longest = Duration.FromDays(100 * 365);

    private static readonly HourOrigin Origin = new(HourKind.Measured, "station", null);

    /// <summary>Reads the weather columns.</summary>
    /// <param name="path">The file.</param>
    /// <param name="windHeightM">Height of the wind [m].</param>
    /// <param name="complain">Receives one sentence for each row or value that was left out, with file and line.</param>
    /// <param name="hidden">Columns to pass over, as if the file had none of them.</param>
    /// <exception cref="StationException">The file is not there, or no row can be used.</exception>
    public static WeatherSeries Read(
        string path,
        double windHeightM,
        Action<string> complain,
        IReadOnlyList<string>? hidden = null
    )
    {
        if (!File.Exists(path))
        {
            throw new StationException(
                $"{path}: not there; a station folder holds station.json and hourly.csv"
            );
        }

        using var reader = new StreamReader(path);
        var header = (reader.ReadLine() ?? "").TrimStart('\uFEFF').Split(',');
        var timeAt = Array.FindIndex(header, h => h.Trim() == "valid_time");
        var columns = Array.ConvertAll(
            header,
            h =>
                hidden?.Contains(h.Trim(), StringComparer.Ordinal) == true
                    ? null
                    : Array.Find(Fields, f => f.Name == h.Trim())
        );
        if (timeAt < 0 || Array.TrueForAll(columns, c => c is null))
        {
            throw new StationException(
                $"{path}:1: the header must name valid_time and at least one of {string.Join(", ", Fields.Select(f => f.Name))}"
            );
        }

        var rows = new List<(Instant Time, double[] Values)>();
        var seen = new HashSet<Instant>();
        var line = 1;
        while (reader.ReadLine() is { } text)
        {
            line++;
            if (text.Length == 0)
            {
                continue;
            }

            if (
                Row(text, header.Length, timeAt, columns, $"{path}:{line}", complain) is not { } row
            )
            {
                continue;
            }

            if (!seen.Add(row.Time))
            {
                complain($"{path}:{line}: {row.Time} occurs twice; the first row stands");
                continue;
            }

            rows.Add(row);
        }

        return rows.Count == 0
            ? throw new StationException($"{path}: no row can be used")
            : Build(rows, windHeightM, path);
    }

    private static WeatherSeries Build(
        List<(Instant Time, double[] Values)> rows,
        double windHeightM,
        string path
    )
    {
        var (first, last) = (rows.Min(r => r.Time), rows.Max(r => r.Time));
        if (last - first > Longest)
        {
            throw new StationException(
                $"{path}: the rows reach from {first} to {last}, more than {Longest.TotalDays / 365:0} years; check the years"
            );
        }

        var builder = new WeatherSeriesBuilder(
            first,
            (int)(last - first).TotalHours + 1,
            windHeightM
        );
        foreach (var (time, values) in rows)
        {
            var i = (int)(time - first).TotalHours;
            for (var f = 0; f < Fields.Length; f++)
            {
                builder[Fields[f].Column][i] = values[f];
            }

            builder.Origins[i] = Origin;
        }

        return builder.Build();
    }

    private static (Instant Time, double[] Values)? Row(
        string text,
        int width,
        int timeAt,
        Field?[] columns,
        string where,
        Action<string> complain
    )
    {
        var cells = text.Split(',');
        if (cells.Length != width)
        {
            complain($"{where}: {cells.Length} cells where the header has {width}; row left out");
            return null;
        }

        var time = InstantPattern.ExtendedIso.Parse(cells[timeAt].Trim());
        if (!time.Success || time.Value.ToUnixTimeSeconds() % 3600 != 0)
        {
            complain(
                $"{where}: valid_time \"{cells[timeAt]}\" is no whole UTC hour such as 2024-03-01T06:00:00Z; row left out"
            );
            return null;
        }

        var values = new double[Fields.Length];
        Array.Fill(values, double.NaN);
        for (var c = 0; c < width; c++)
        {
            if (columns[c] is not { } field || string.IsNullOrWhiteSpace(cells[c]))
            {
                continue;
            }

            if (
                double.TryParse(
                    cells[c],
                    NumberStyles.Float,
                    CultureInfo.InvariantCulture,
                    out var value
                )
                && value >= field.Lowest
                && value <= field.Highest
            )
            {
                values[Array.IndexOf(Fields, field)] = value;
            }
            else
            {
                complain(
                    $"{where}: {field.Name} is \"{cells[c]}\", outside {field.Lowest} to {field.Highest}; value left out"
                );
            }
        }

        return (time.Value, values);
    }
}
