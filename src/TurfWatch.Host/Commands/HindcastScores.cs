using TurfWatch.Core;
using TurfWatch.Core.Physics;
using TurfWatch.Host.Hindcast;

namespace TurfWatch.Host.Commands;

/// <summary>Scores every station of a folder; the table of docs/science/validation.md comes from here.</summary>
internal static class HindcastScores
{
    public static void Run(
        string folder,
        IReadOnlyList<string> hidden,
        (bool Weekly, int? Hour) readings,
        bool mornings,
        string? plots,
        TextWriter output,
        Action<string> complain
    )
    {
        foreach (var path in Stations(folder))
        {
            var loaded = HindcastRun.Load(path, hidden, complain);
            var measured = MeasuredColumns.Read(Path.Combine(path, "hourly.csv"), loaded.Weather);
            var read = readings.Weekly
                ? HindcastRun.WeeklyReadings(
                    loaded.Station,
                    loaded.Weather,
                    measured,
                    readings.Hour
                )
                : null;
            var run = HindcastRun.Run(loaded, read);
            var name = Path.GetFileName(path);
            new ScoreCard(loaded.Station, run, measured, output).Write(name);
            var tried = mornings
                ? ForecastMornings.Run(loaded.Station, loaded.Weather, measured)
                : [];
            ForecastMornings.Write(tried, output);
            if (plots is not null)
            {
                Directory.CreateDirectory(plots);
                var pictures = new ValidationPlots(plots, name, loaded.Station, run, measured);
                pictures.Write();
                pictures.DewOffReliability(tried);
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
