using TurfWatch.Host.Commands;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Hindcast;

namespace TurfWatch.Fuzz.Targets;

/// <summary>Files that people write: each fault of theirs is told, none is met by a stack trace.</summary>
internal static class FileTargets
{
    // In memory where the machine has such a place: a million files are written.
    private static readonly string Folder = Directory.Exists("/dev/shm")
        ? "/dev/shm"
        : Path.GetTempPath();

    public static IEnumerable<FuzzTarget> Make()
    {
        yield return Target(
            "hourly-csv",
            path => HourlyFile.Read(path, 2, _ => { }),
            typeof(StationException)
        ) with
        {
            Words =
            [
                "valid_time",
                "air_temperature_c",
                "precipitation_mm",
                "2024-03-01T06:00:00Z",
                ",",
            ],
            MostBytes = 128L << 20,
        };
        yield return Target(
            "station-json",
            path => Station.Read(path),
            typeof(StationException)
        ) with
        {
            IsJson = true,
            Words =
            [
                "\"latitude\"",
                "\"longitude\"",
                "\"elevation_m\"",
                "\"wind_height_m\"",
                "\"cover\"",
                "\"soil\"",
            ],
        };
        yield return Target("lawn-file", ReadLawn) with
        {
            IsJson = true,
            Words =
            [
                "\"grass\"",
                "\"journal\"",
                "\"what\"",
                "\"on\"",
                "\"amount\"",
                "\"soil-test\"",
                "\"bermuda\"",
            ],
        };
        yield return Target(
            "settings",
            path => SettingsLoader.Load(path, Folder),
            typeof(SettingsException)
        ) with
        {
            IsJson = true,
            Words =
            [
                .. OptionsCatalog.All.Select(o => $"\"{o.Section}\""),
                .. OptionsCatalog.All.SelectMany(o => o.Keys).Select(k => $"\"{k.Property.Name}\""),
                "\"00:00:10\"",
                "\"5\"",
                "\"https://example.org\"",
            ],
        };
    }

    private static void ReadLawn(string path)
    {
        var faults = new List<string>();
        var file = LawnFile.Read(path, faults);
        if (faults.Count == 0)
        {
            LawnWords.Read(
                file.Described,
                new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
                faults
            );
        }
    }

    private static FuzzTarget Target(string name, Action<string> read, params Type[] documented)
    {
        var path = Path.Combine(Folder, $"turfwatch-fuzz-{Environment.ProcessId}-{name}");
        return new(
            name,
            input =>
            {
                File.WriteAllBytes(path, input);
                try
                {
                    read(path);
                }
                finally
                {
                    File.Delete(path);
                }
            },
            documented
        );
    }
}
