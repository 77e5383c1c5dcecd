using System.Globalization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Host.Hindcast;

/// <summary>What a station measured of soil and leaves, hour for hour beside a run; NaN where it did not.</summary>
internal sealed record MeasuredColumns(double[] Soil5C, double[] Soil10C, double[] WetPercent)
{
    public static MeasuredColumns Read(string path, WeatherSeries series)
    {
        string[] names =
        [
            "soil_temperature_5cm_c",
            "soil_temperature_10cm_c",
            "leaf_wetness_percent",
        ];
        var columns = Array.ConvertAll(names, _ => Unknown(series.Count));
        using var reader = new StreamReader(path);
        var header = (reader.ReadLine() ?? "").TrimStart('\uFEFF').Split(',');
        header = Array.ConvertAll(header, h => h.Trim());
        var at = Array.ConvertAll(names, n => Array.IndexOf(header, n));
        var timeAt = Array.IndexOf(header, "valid_time");
        while (reader.ReadLine() is { } line)
        {
            var cells = line.Split(',');
            if (
                cells.Length != header.Length
                || InstantPattern.ExtendedIso.Parse(cells[timeAt].Trim())
                    is not { Success: true, Value: var time }
                || series.IndexOf(time) is var i && (i < 0 || i >= series.Count)
                || series.HourEnd(i) != time
            )
            {
                continue;
            }

            for (var c = 0; c < names.Length; c++)
            {
                if (
                    at[c] >= 0
                    && double.TryParse(cells[at[c]], CultureInfo.InvariantCulture, out var value)
                )
                {
                    columns[c][i] = value;
                }
            }
        }

        return new(columns[0], columns[1], columns[2]);
    }

    private static double[] Unknown(int count)
    {
        var column = new double[count];
        Array.Fill(column, double.NaN);
        return column;
    }
}
