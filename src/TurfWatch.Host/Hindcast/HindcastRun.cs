using System.Globalization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>Runs the physics over a station's measured weather and writes what it found.</summary>
public static class HindcastRun
{
    private const string Header =
        "valid_time,soil_temperature_5cm_c,soil_temperature_10cm_c,canopy_temperature_c,leaf_wetness_percent,dew_mm,et0_mm";

    /// <summary>Reads the folder and runs the model over all of its hours.</summary>
    /// <param name="folder">Station folder.</param>
    /// <param name="complain">Receives a sentence for each row or value left out.</param>
    public static SiteConditions Run(string folder, Action<string> complain) =>
        Run(Load(folder, [], complain));

    /// <summary>Runs the model, with a thermometer's readings if there are any.</summary>
    internal static SiteConditions Run(
        (Station Station, WeatherSeries Weather) loaded,
        IReadOnlyList<SoilReading>? readings = null
    ) =>
        SiteModel
            .Run(
                loaded.Station.Site,
                loaded.Station.Surface,
                loaded.Weather,
                loaded.Weather.LastHourEnd,
                cover: loaded.Station.Cover,
                readings: readings
            )
            .Conditions;

    /// <summary>Reads a station's folder, the hidden columns as if they were not there.</summary>
    internal static (Station Station, WeatherSeries Weather) Load(
        string folder,
        IReadOnlyList<string> hidden,
        Action<string> complain
    )
    {
        if (!Directory.Exists(folder))
        {
            throw new StationException(
                $"{folder}: no such folder; give one that holds station.json and hourly.csv"
            );
        }

        var station = Station.Read(Path.Combine(folder, "station.json"));
        var weather = HourlyFile.Read(
            Path.Combine(folder, "hourly.csv"),
            station.WindHeightM,
            complain,
            hidden
        );
        return (station, weather);
    }

    /// <summary>Readings of the station's own soil, one a week; for trying out what a thermometer brings.</summary>
    /// <param name="solarHour">Hour of the sun's day; null for another each week, from 7 to 21.</param>
    internal static IReadOnlyList<SoilReading> WeeklyReadings(
        Station station,
        WeatherSeries weather,
        MeasuredColumns measured,
        int? solarHour
    )
    {
        var (column, depth) = Array.TrueForAll(measured.Soil10C, double.IsNaN)
            ? (measured.Soil5C, 0.05)
            : (measured.Soil10C, 0.10);
        var offset = Duration.FromHours(Math.Round(station.Site.LongitudeDeg / 15));
        var readings = new List<SoilReading>();
        var next = Instant.MinValue;
        for (var i = 0; i < column.Length; i++)
        {
            var at = weather.HourEnd(i);
            var hour = solarHour ?? 7 + (readings.Count * 4 % 15);
            if (at >= next && !double.IsNaN(column[i]) && (at + offset).InUtc().Hour == hour)
            {
                readings.Add(new(at, column[i], depth));

                // A few hours less than a week, so that an earlier hour does not wait for the day after.
                next = at + Duration.FromHours((7 * 24) - 14);
            }
        }

        return readings;
    }

    /// <summary>Writes the conditions as CSV; a value that could not be computed is left empty.</summary>
    public static void Write(SiteConditions conditions, TextWriter writer)
    {
        writer.WriteLine(Header);
        for (var i = 0; i < conditions.Count; i++)
        {
            writer.Write(InstantPattern.General.Format(conditions.HourEnd(i)));
            Cell(writer, conditions.SoilTemperature5CmC[i], "F3");
            Cell(writer, conditions.SoilTemperature10CmC[i], "F3");
            Cell(writer, conditions.CanopyTemperatureC[i], "F3");
            Cell(writer, conditions.LeafWetnessPercent[i], "F1");
            Cell(writer, conditions.DewMm[i], "F4");
            Cell(writer, conditions.Et0Mm[i], "F4");
            writer.Write('\n');
        }
    }

    private static void Cell(TextWriter writer, double value, string format)
    {
        writer.Write(',');
        if (!double.IsNaN(value))
        {
            writer.Write(value.ToString(format, CultureInfo.InvariantCulture));
        }
    }
}
