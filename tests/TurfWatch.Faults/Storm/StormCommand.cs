using System.Globalization;

namespace TurfWatch.Faults.Storm;

/// <summary><c>tests/faults --minutes 10</c>: the kill storm from the command line.</summary>
internal static class StormCommand
{
    private const string Usage = """
        tests/faults --minutes N [--seed S] [--workers 3] [--rows 5000] [--sqlite]

        Runs N minutes of kill -9, STOP and CONT at random against real workers of TurfWatch that send
        ROWS messages over SMTP from a PostgreSQL of its own (or one worker from SQLite), then judges
        every message. Exit code 1 means that a promise of docs/reliability.md was broken.
        """;

    public static async Task<int> RunAsync(string[] args)
    {
        if (Read(args) is not { } storm)
        {
            await Console.Error.WriteLineAsync(Usage);
            return 2;
        }

        return await storm.RunAsync() ? 0 : 1;
    }

    private static KillStorm? Read(string[] args)
    {
        var (minutes, seed, workers, rows, sqlite) = (0.0, FaultRig.Seed, 3, 5000, false);
        for (var i = 0; i < args.Length; i++)
        {
            if (args[i] == "--sqlite")
            {
                sqlite = true;
                continue;
            }

            if (
                i + 1 == args.Length
                || !double.TryParse(args[i + 1], CultureInfo.InvariantCulture, out var value)
                || value < 0
            )
            {
                return null;
            }

            switch (args[i++])
            {
                case "--minutes":
                    minutes = value;
                    break;
                case "--seed":
                    seed = (int)value;
                    break;
                case "--workers":
                    workers = (int)value;
                    break;
                case "--rows":
                    rows = (int)value;
                    break;
                default:
                    return null;
            }
        }

        return minutes > 0 && workers is > 0 and < 20 && rows > 0
            ? new(TimeSpan.FromMinutes(minutes), seed, sqlite ? 1 : workers, rows, sqlite)
            : null;
    }
}
