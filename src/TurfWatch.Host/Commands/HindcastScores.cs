using TurfWatch.Core;
using TurfWatch.Core.Physics;
using TurfWatch.Host.Hindcast;

namespace TurfWatch.Host.Commands;

/// <summary>Scores every station of a folder; the table of docs/science/validation.md comes from here.</summary>
internal static class HindcastScores
{
    // The hour of the sun's day at which 10 cm of soil is near its daily mean.
    private const int ReadingHour = 20;

    public static void Run(
        string folder,
        IReadOnlyList<string> hidden,
        bool weekly,
        bool mornings,
        TextWriter output,
        Action<string> complain
    )
    {
        if (!Directory.Exists(folder))
        {
            throw new StationException(
                $"{folder}: no such folder; give one that holds station folders"
            );
        }

        var stations = Directory
            .GetDirectories(folder)
            .Where(d => File.Exists(Path.Combine(d, "station.json")))
            .Order(StringComparer.Ordinal)
            .ToList();
        if (stations.Count == 0)
        {
            throw new StationException(
                $"{folder}: none of its folders holds a station.json; for one station give --station"
            );
        }

        foreach (var path in stations)
        {
            var loaded = HindcastRun.Load(path, hidden, complain);
            var measured = MeasuredColumns.Read(Path.Combine(path, "hourly.csv"), loaded.Weather);
            var readings = weekly
                ? HindcastRun.WeeklyReadings(loaded.Station, loaded.Weather, measured, ReadingHour)
                : null;
            var run = HindcastRun.Run(loaded, readings);
            new ScoreCard(loaded.Station, run, measured, output).Write(Path.GetFileName(path));
            if (mornings)
            {
                ForecastMornings.Write(loaded.Station, loaded.Weather, measured, output);
            }
        }
    }
}
