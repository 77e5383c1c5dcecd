using System.CommandLine;
using NodaTime;
using TurfWatch.Host.Backups;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch backup</c>: one file with all that it takes to come back.</summary>
internal static class BackupCommand
{
    public static Command Create(Terminal terminal)
    {
        var to = new Option<string>("--to")
        {
            Description = "The file to write; it must not exist. A common ending is .tar.gz.",
            HelpName = "FILE",
            Required = true,
        };
        var asJson = JsonOutput.Option();
        var command = new Command(
            "backup",
            """
            Writes one file with a consistent copy of the database and the keys of links in mail already sent. Works beside a
            running service, with PostgreSQL by its pg_dump. The file is read back and compared before it gets its name, and belongs to you alone: it holds
            addresses and keys. It does not hold the configuration, secret files, or the mail folder.

            Example: turfwatch backup --to /backup/turfwatch-2026-11-29.tar.gz
            """
        )
        {
            to,
            asJson,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var file = Path.GetFullPath(parse.GetValue(to)!, terminal.Folder);
                if (Path.Exists(file))
                {
                    throw new MisuseException(
                        $"--to is '{file}', which is there already; name a new file, for example one with the date in its name."
                    );
                }

                if (!Directory.Exists(Path.GetDirectoryName(file)))
                {
                    throw new MisuseException(
                        $"--to is '{file}', but there is no folder {Path.GetDirectoryName(file)}; make it first."
                    );
                }

                var store = parse.Settings(terminal, StoreOptions.Section).Get<StoreOptions>();
                var made = await BackupFile.MakeAsync(
                    store,
                    BackupParts.KeysOf(store),
                    file,
                    Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow()),
                    cancel
                );
                await TellAsync(terminal, file, made, parse.GetValue(asJson));
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static Task TellAsync(Terminal terminal, string file, BackupManifest made, bool asJson)
    {
        var bytes = new FileInfo(file).Length;
        return asJson
            ? JsonOutput.WriteAsync(
                terminal,
                new
                {
                    File = file,
                    Bytes = bytes,
                    made.MadeAt,
                    made.Program,
                    made.Holds,
                }
            )
            : terminal.Out.WriteLineAsync(
                $"{file} ({bytes / 1024.0:#,##0} KiB) holds {made.Holds.InWords()}{(made.Parts.Count > 1 ? " and the link keys" : " (there are no link keys yet)")}, as of {made.MadeAt}, schema {made.Holds.Schema}. It was read back and is sound."
            );
    }

    public static string InWords(this StoreContents holds) =>
        $"{Count(holds.Subscribers, "subscriber")}, {Count(holds.Lawns, "lawn")}, {Count(holds.JournalLines, "journal line")}, {Count(holds.Messages, "message")}";

    private static string Count(long n, string what) => n == 1 ? $"1 {what}" : $"{n} {what}s";
}
