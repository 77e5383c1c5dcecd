using System.CommandLine;
using TurfWatch.Host.Backups;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch move</c>: a household that outgrew its file goes to PostgreSQL.</summary>
internal static class MoveCommand
{
    public static Command Create(Terminal terminal)
    {
        var from = new Option<string?>("--from")
        {
            Description = "The data folder that is moved. Left out: Store:DataDirectory.",
            HelpName = "DIR",
        };
        var rehearse = new Option<bool>("--rehearse")
        {
            Description =
                "Do all of it, count, and undo it again: beside the running service, to see that it works and how long it takes.",
        };
        var command = new Command(
            "move",
            """
            Carries all that a data folder holds over to the empty PostgreSQL database of Store:Postgres: people, lawns,
            journals, messages, weather, in one transaction, each row counted. Stop the service first. The old database
            stays where it is, held, so that it never sends again; the keys of links go along.

            Example: turfwatch move --rehearse, then: turfwatch move
            """
        )
        {
            from,
            rehearse,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var to = parse.Settings(terminal, StoreOptions.Section).Get<StoreOptions>();
                if (!to.UsesPostgres)
                {
                    throw new MisuseException(
                        "Store:Postgres is empty; write the connection string of the database to move to, for example \"Host=db.example.org;Database=turfwatch;Username=turfwatch\"."
                    );
                }

                var old = new StoreOptions
                {
                    DataDirectory = parse.GetValue(from) is { } folder
                        ? Path.GetFullPath(folder, terminal.Folder)
                        : to.DataDirectory,
                    BusyTimeout = to.BusyTimeout,
                };
                var started = terminal.Clock.GetTimestamp();
                var keys = MovedKeys.Of(old, to);
                var isRehearsal = parse.GetValue(rehearse);
                if (!isRehearsal)
                {
                    // First: a worker that found the rows and no keys would make keys of its own.
                    keys.Place();
                }

                var moved = await StoreMove.RunAsync(old, to, terminal.Clock, isRehearsal, cancel);
                foreach (
                    var line in Lines(moved, isRehearsal, terminal.Clock.GetElapsedTime(started))
                )
                {
                    await terminal.Out.WriteLineAsync(line);
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static IEnumerable<string> Lines(StoreMoved moved, bool rehearsed, TimeSpan took)
    {
        yield return $"{(rehearsed ? "Rehearsed" : "Moved")}: {moved.Holds.InWords()}; in all {moved.Rows} rows of {moved.Tables} tables, from {moved.From} to {moved.To}, in {took.TotalSeconds:0.0} s. Each table was counted on both sides.";
        if (rehearsed)
        {
            yield return "All of it was undone: the service goes on where it is. Stop it, then run this without --rehearse.";
            yield break;
        }

        yield return $"{moved.From} is held and sends nothing any more. Keep it until you trust the new place.";
        yield return moved.Held is { } hold
            ? $"The new database is held as the old one was: {hold.Sentence}."
            : "Start the workers on the new configuration, then look at 'turfwatch check'.";
    }
}
