using System.CommandLine;
using NodaTime;
using TurfWatch.Host.Demo;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch demo</c>: a year on three lawns in a minute or two.</summary>
internal static class DemoCommand
{
    private const int MostDays = 366;

    /// <summary>The year begins when lawns in the south are sown for winter and those in the north go to sleep.</summary>
    private static readonly LocalDate First = new(2025, 10, 1);

    public static Command Create(Terminal terminal)
    {
        var days = new Option<int>("--days")
        {
            Description = $"How many days, 1 to {MostDays}.",
            HelpName = "N",
            DefaultValueFactory = _ => 365,
        };
        var outFolder = new Option<string>("--out")
        {
            Description = "Folder for the pages and messages.",
            HelpName = "DIR",
            DefaultValueFactory = _ => "out/demo",
        };
        var command = new Command(
            "demo",
            """
            Runs a whole year of invented weather for three invented households through the real pipeline,
            into a folder with a page of every message: mornings, alerts, weekly digests. Needs no configuration, no network, no account.

            Example: turfwatch demo --days 60 --out out/demo
            """
        )
        {
            days,
            outFolder,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var count = parse.GetValue(days);
                if (count is < 1 or > MostDays)
                {
                    throw new MisuseException(
                        $"--days is {count}; write a whole number from 1 to {MostDays}."
                    );
                }

                var folder = Path.GetFullPath(parse.GetValue(outFolder)!, terminal.Folder);
                await RunAsync(terminal, count, folder, cancel);
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static async Task RunAsync(
        Terminal terminal,
        int days,
        string folder,
        CancellationToken cancel
    )
    {
        foreach (var household in DemoHousehold.All)
        {
            Directory.CreateDirectory(Path.Combine(folder, household.Key));
        }

        var years = await ProgressBar.RunAsync(
            terminal,
            $"{days} days on {DemoHousehold.All.Length} lawns",
            days * DemoHousehold.All.Length,
            step =>
                Task.WhenAll(
                    DemoHousehold.All.Select(household =>
                        Task.Run(
                            () =>
                                new DemoRun(household, folder).RunAsync(
                                    First,
                                    days,
                                    () => step(1),
                                    cancel
                                ),
                            cancel
                        )
                    )
                )
        );
        var index = Path.Combine(folder, "index.html");
        await File.WriteAllTextAsync(index, DemoPages.Index(years), cancel);
        foreach (var year in years)
        {
            await File.WriteAllTextAsync(
                Path.Combine(folder, year.Household.Key, "index.html"),
                DemoHouseholdPage.Make(year),
                cancel
            );
        }

        await File.WriteAllTextAsync(
            Path.Combine(folder, "summary.html"),
            DemoPages.Summary(years),
            cancel
        );
        await terminal.Out.WriteLineAsync(
            $"{years.Sum(y => y.Days.Count + y.Days.Sum(d => d.Season.Count))} messages written. Open {index} in a browser."
        );
    }
}
