using System.CommandLine;
using System.Globalization;
using TurfWatch.Core;
using TurfWatch.Host.Hindcast;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch hindcast</c>: runs the physics over measured hourly weather.</summary>
public static class HindcastCommand
{
    // More complaints than this hide the message; the rest is counted.
    private const int MostComplaints = 20;

    public static Command Create()
    {
        var station = new Option<string>("--station")
        {
            Description = "Folder with station.json and hourly.csv",
            HelpName = "FOLDER",
        };
        var output = new Option<string>("--out")
        {
            Description = "CSV file to write; it is replaced",
            HelpName = "FILE.csv",
        };
        var stations = new Option<string?>("--stations")
        {
            Description =
                "Folder of station folders: score the run of each against what it measured, beside simple rules",
            HelpName = "FOLDER",
        };
        var without = new Option<string?>("--without")
        {
            Description =
                "With --stations: columns to pass over, comma between, for example shortwave_w_m2,longwave_down_w_m2",
            HelpName = "COLUMNS",
        };
        var readings = new Option<string?>("--readings")
        {
            Description =
                "With --stations: weekly gives the model the station's own soil temperature once a week at 20 h solar time, as an owner's thermometer would; weekly@8 at another hour, weekly@any at another hour each week",
            HelpName = "HOW",
        };
        var mornings = new Option<bool>("--mornings")
        {
            Description =
                "With --stations: try the dew-off range on measured dew mornings with made forecast errors",
        };
        var skill = new Option<bool>("--skill")
        {
            Description =
                "Foretell the autumn dates of each year from the station's other years, 30, 14, 7 and 0 days ahead, and score them against measured soil at 10 cm; with --station or --stations",
        };
        var plots = new Option<string?>("--plots")
        {
            Description =
                "With --stations: folder for pictures (SVG) of each run beside what was measured; pictures of the same name are replaced. With --mornings also how reliable the dew-off range is",
            HelpName = "FOLDER",
        };
        var command = new Command(
            "hindcast",
            "Run the physics over a station's measured hourly weather and write modelled soil temperature, leaf wetness, dew and reference evapotranspiration, hour by hour. Columns may be missing; gaps up to 48 hours are bridged, longer ones stay empty. Measured soil temperature and wetness in the file are not read, unless to score them with --stations."
        )
        {
            station,
            output,
            stations,
            without,
            readings,
            mornings,
            skill,
            plots,
        };
        command.Validators.Add(result =>
        {
            var many = result.GetValue(stations) is not null;
            if (result.GetValue(skill))
            {
                if (many == result.GetValue(station) is not null)
                {
                    result.AddError(
                        "--skill goes with one of --station FOLDER and --stations FOLDER"
                    );
                }

                if (
                    result.GetValue(mornings)
                    || (
                        result.GetValue(output)
                        ?? result.GetValue(readings)
                        ?? result.GetValue(plots)
                    )
                        is not null
                )
                {
                    result.AddError(
                        "--skill goes without --out, --readings, --mornings and --plots"
                    );
                }
            }
            else if (!many && (result.GetValue(station) is null || result.GetValue(output) is null))
            {
                result.AddError(
                    "give --station FOLDER and --out FILE.csv, or --stations FOLDER to score a folder of stations"
                );
            }
            else if (many && (result.GetValue(station) ?? result.GetValue(output)) is not null)
            {
                result.AddError("--stations goes without --station and --out");
            }
            else if (
                !many
                && (
                    result.GetValue(mornings)
                    || (
                        result.GetValue(without)
                        ?? result.GetValue(readings)
                        ?? result.GetValue(plots)
                    )
                        is not null
                )
            )
            {
                result.AddError(
                    "--without, --readings, --mornings and --plots go with --stations only"
                );
            }

            if (result.GetValue(readings) is { } how && Weekly(how) is null)
            {
                result.AddError(
                    $"--readings is '{how}'; it takes weekly, weekly@any, or weekly@ and an hour from 0 to 23"
                );
            }

            foreach (var name in Columns(result.GetValue(without)))
            {
                if (!HourlyFile.Names.Contains(name, StringComparer.Ordinal))
                {
                    result.AddError(
                        $"--without names \"{name}\", which is none of {string.Join(", ", HourlyFile.Names)}"
                    );
                }
            }
        });
        command.SetAction(parse =>
        {
            var error = parse.InvocationConfiguration.Error;
            var complaints = 0;
            try
            {
                void Complain(string complaint)
                {
                    if (complaints++ < MostComplaints)
                    {
                        error.WriteLine(complaint);
                    }
                }

                SiteConditions? conditions = null;
                if (parse.GetValue(skill))
                {
                    HindcastScores.Skill(
                        parse.GetValue(station),
                        parse.GetValue(stations),
                        Columns(parse.GetValue(without)),
                        parse.InvocationConfiguration.Output,
                        Complain
                    );
                }
                else if (parse.GetValue(stations) is { } folder)
                {
                    HindcastScores.Run(
                        folder,
                        Columns(parse.GetValue(without)),
                        parse.GetValue(readings) is { } how ? Weekly(how)!.Value : default,
                        parse.GetValue(mornings),
                        parse.GetValue(plots),
                        parse.InvocationConfiguration.Output,
                        Complain
                    );
                }
                else
                {
                    conditions = HindcastRun.Run(parse.GetValue(station)!, Complain);
                }

                if (complaints > MostComplaints)
                {
                    error.WriteLine(
                        $"and {complaints - MostComplaints} more rows or values left out"
                    );
                }

                if (conditions is null)
                {
                    return 0;
                }

                var path = parse.GetValue(output)!;
                using (var writer = new StreamWriter(path))
                {
                    HindcastRun.Write(conditions, writer);
                }

                parse.InvocationConfiguration.Output.WriteLine(
                    $"{conditions.Count} hours written to {path}"
                );
                return 0;
            }
            catch (StationException e)
            {
                error.WriteLine(e.Message);
                return 1;
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                error.WriteLine($"cannot read or write: {e.Message}");
                return 1;
            }
        });
        return command;
    }

    // 20 h, when 10 cm of soil is near its daily mean, unless told.
    private static (bool Weekly, int? Hour)? Weekly(string how) =>
        how switch
        {
            "weekly" => (true, 20),
            "weekly@any" => (true, null),
            _ => how.StartsWith("weekly@", StringComparison.Ordinal)
            && int.TryParse(how.AsSpan(7), CultureInfo.InvariantCulture, out var hour)
            && hour is >= 0 and <= 23
                ? (true, hour)
                : null,
        };

    private static string[] Columns(string? list) =>
        (list ?? "").Split(
            ',',
            StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries
        );
}
