using System.CommandLine;

namespace TurfWatch.Host.Commands;

/// <summary>The command line as a whole.</summary>
public static class TurfWatchCommand
{
    private const string About = """
        TurfWatch tells home-lawn owners by email each morning whether to mow, from what hour, and why.

        Try it:    turfwatch demo
        One ZIP:   turfwatch preview --zip 40502 --grass kentucky-bluegrass
        For real:  turfwatch subscribers add --email you@example.org --zip 40502 --grass tall-fescue
                   turfwatch serve

        Exit codes: 0 done, 1 failed (the sentence on standard error says why),
        2 misused or misconfigured.
        """;

    public static RootCommand Create(Terminal terminal)
    {
        var root = new RootCommand(About)
        {
            ServeCommand.Create(terminal),
            DemoCommand.Create(terminal),
            PreviewCommand.Create(terminal),
            OutlookCommand.Create(terminal),
            CheckCommand.Create(terminal),
            HealthCheckCommand.Create(terminal),
            SendTestCommand.Create(terminal),
            DkimRecordCommand.Create(terminal),
            SubscribersCommand.Create(terminal),
            JournalCommand.Create(terminal),
            OutboxCommand.Create(terminal),
            ExportCommand.Create(terminal),
            EraseCommand.Create(terminal),
            KeysCommand.Create(terminal),
            BackupCommand.Create(terminal),
            RestoreCommand.Create(terminal),
            MoveCommand.Create(terminal),
            AmountCommand.Create(terminal),
            HindcastCommand.Create(),
        };
        root.Options.Add(CommandShell.Config);
        return root;
    }

    public static async Task<int> RunAsync(
        IReadOnlyList<string> args,
        Terminal terminal,
        CancellationToken cancel = default
    )
    {
        var parse = Create(terminal).Parse(args);
        if (parse.Errors.Count > 0)
        {
            foreach (var error in parse.Errors)
            {
                await terminal.Error.WriteLineAsync(error.Message);
            }

            var verb =
                parse.CommandResult.Command is RootCommand
                    ? "turfwatch"
                    : "turfwatch " + parse.CommandResult.Command.Name;
            await terminal.Error.WriteLineAsync($"'{verb} --help' shows how it is used.");
            return CommandShell.Misused;
        }

        return await parse.InvokeAsync(
            new InvocationConfiguration
            {
                Output = terminal.Out,
                Error = terminal.Error,
                EnableDefaultExceptionHandler = false,
                // The default of 2 s would cut a service off that still finishes its mail; it allows itself 25 s.
                ProcessTerminationTimeout = TimeSpan.FromSeconds(30),
            },
            cancel
        );
    }
}
