using System.Globalization;
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
    public static SiteConditions Run(string folder, Action<string> complain)
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
            complain
        );
        return SiteModel
            .Run(station.Site, station.Surface, weather, weather.LastHourEnd, cover: station.Cover)
            .Conditions;
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
