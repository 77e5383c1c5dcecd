using System.CommandLine;
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
            Required = true,
            HelpName = "FOLDER",
        };
        var output = new Option<string>("--out")
        {
            Description = "CSV file to write; it is replaced",
            Required = true,
            HelpName = "FILE.csv",
        };
        var command = new Command(
            "hindcast",
            "Run the physics over a station's measured hourly weather and write modelled soil temperature, leaf wetness, dew and reference evapotranspiration, hour by hour. Columns may be missing; gaps up to 48 hours are bridged, longer ones stay empty. Measured soil temperature and wetness in the file are not read."
        )
        {
            station,
            output,
        };
        command.SetAction(parse =>
        {
            var error = parse.InvocationConfiguration.Error;
            var complaints = 0;
            try
            {
                var conditions = HindcastRun.Run(
                    parse.GetValue(station)!,
                    complaint =>
                    {
                        if (complaints++ < MostComplaints)
                        {
                            error.WriteLine(complaint);
                        }
                    }
                );
                if (complaints > MostComplaints)
                {
                    error.WriteLine(
                        $"and {complaints - MostComplaints} more rows or values left out"
                    );
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
}
