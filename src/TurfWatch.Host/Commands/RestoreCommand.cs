using System.CommandLine;
using NodaTime;
using TurfWatch.Host.Backups;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch restore</c>: puts a backup into a data folder, held.</summary>
internal static class RestoreCommand
{
    public static Command Create(Terminal terminal)
    {
        var from = new Option<string>("--from")
        {
            Description = "The file that 'turfwatch backup' wrote.",
            HelpName = "FILE",
            Required = true,
        };
        var into = new Option<string?>("--into")
        {
            Description =
                "The data folder; with PostgreSQL it takes the keys alone. Left out: Store:DataDirectory.",
            HelpName = "DIR",
        };
        var replace = new Option<bool>("--replace")
        {
            Description =
                "It is not empty: set aside the database and keys that are there (in a folder within the folder, in a schema within the database; not deleted).",
        };
        var command = new Command(
            "restore",
            """
            Puts a backup into an empty data folder, or into the empty PostgreSQL database of Store:Postgres, and checks all of
            it. The restored copy is held: a service on it runs and
            answers links, but sends nothing until 'turfwatch outbox release', since messages that were sent after the backup
            are not known to it. Stop a service that runs on it first.

            Example: turfwatch restore --from /backup/turfwatch-2026-11-29.tar.gz --into /var/lib/turfwatch
            """
        )
        {
            from,
            into,
            replace,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var file = Path.GetFullPath(parse.GetValue(from)!, terminal.Folder);
                if (!File.Exists(file))
                {
                    throw new MisuseException($"--from is '{file}', but there is no such file.");
                }

                var restored = await Restore.RunAsync(
                    file,
                    Target(parse, parse.GetValue(into), terminal),
                    parse.GetValue(replace),
                    Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow()),
                    cancel
                );
                foreach (var line in Lines(restored))
                {
                    await terminal.Out.WriteLineAsync(line);
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static StoreOptions Target(ParseResult parse, string? into, Terminal terminal)
    {
        var options = parse.Settings(terminal, StoreOptions.Section).Get<StoreOptions>();
        if (into is not null)
        {
            options.DataDirectory = Path.GetFullPath(into, terminal.Folder);
        }

        return options;
    }

    private static IEnumerable<string> Lines(Restored restored)
    {
        var (manifest, holds, aside) = restored;
        yield return $"Restored: {holds.InWords()}, as of {manifest.MadeAt} (made by {manifest.Program}).";
        if (aside is not null)
        {
            yield return $"What was there before is in {aside}; delete it when you are sure.";
        }

        if (holds.Schema > manifest.Holds.Schema)
        {
            yield return $"The database was brought from schema {manifest.Holds.Schema} to {holds.Schema}.";
        }

        yield return "Nothing is sent yet. Start the service, look at 'turfwatch check', then 'turfwatch outbox release'.";
        yield return $"Whoever joined, left or was erased after {manifest.MadeAt} did so unknown to this copy: see 'Get it back' in docs/operations.md before you release it.";
    }
}
