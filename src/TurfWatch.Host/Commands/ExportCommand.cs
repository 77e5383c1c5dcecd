using System.CommandLine;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch export</c>: all that is held of a person, in files.</summary>
internal static class ExportCommand
{
    private const string Csv = ".csv";

    public static Command Create(Terminal terminal)
    {
        var email = PersonCommand.EmailOption();
        var to = new Option<string>("--to")
        {
            Description =
                "The new file to write: all of it as JSON, or the journals as a table when the name ends in .csv.",
            HelpName = "FILE",
            Required = true,
        };
        var command = new Command(
            "export",
            """
            Writes all that is held of a person into a file, the same as the lawn's page gives: address, status, lawns,
            journals, deeds, messages with their texts. Links in the texts are struck out.

            Example: turfwatch export --email you@example.org --to you.json
            """
        )
        {
            email,
            to,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var path = Path.GetFullPath(parse.GetValue(to)!, terminal.Folder);
                if (Path.Exists(path))
                {
                    throw new MisuseException(
                        $"--to is '{path}', which is there already; name a new file."
                    );
                }

                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var data = await PersonCommand.DataAsync(parse, terminal, store, cancel);
                var who = await PersonCommand.FindAsync(
                    store,
                    data,
                    parse.GetValue(email)!,
                    cancel
                );
                var files = (await data.GatherAsync(who.Id, cancel))!;
                await using var file = new FileStream(
                    path,
                    new FileStreamOptions
                    {
                        Mode = FileMode.CreateNew,
                        Access = FileAccess.Write,
                        UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
                    }
                );
                await file.WriteAsync(
                    path.EndsWith(Csv, StringComparison.OrdinalIgnoreCase)
                        ? files.JournalCsv()
                        : files.Json(),
                    cancel
                );
                await terminal.Out.WriteLineAsync($"All that is held of {who.Email} is in {path}.");
                return CommandShell.Ok;
            }
        );
        return command;
    }
}
