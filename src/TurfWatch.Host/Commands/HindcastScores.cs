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
        foreach (var path in Stations(folder))
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

    /// <summary>How far off the season outlook was, at one station or at each of a folder.</summary>
    public static void Skill(
        string? station,
        string? folder,
        IReadOnlyList<string> hidden,
        TextWriter output,
        Action<string> complain
    )
    {
        foreach (var path in station is not null ? [station] : Stations(folder!))
        {
            var loaded = HindcastRun.Load(path, hidden, complain);
            var measured = MeasuredColumns.Read(Path.Combine(path, "hourly.csv"), loaded.Weather);
            var skill = new SeasonSkill(loaded.Station, loaded.Weather, measured);
            SkillTable.Write(
                Path.GetFileName(Path.TrimEndingDirectorySeparator(path)),
                skill,
                output
            );
        }
    }

    private static List<string> Stations(string folder)
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

        return stations;
    }
}
