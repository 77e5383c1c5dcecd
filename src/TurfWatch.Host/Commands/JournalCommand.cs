using System.CommandLine;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch journal add|list|remove</c>: what was done to a lawn.</summary>
internal static class JournalCommand
{
    public static Command Create(Terminal terminal) =>
        new("journal", "What was done to a lawn; the advice on mowing counts from it.")
        {
            Add(terminal),
            List(terminal),
            Remove(terminal),
        };

    private static Command Add(Terminal terminal)
    {
        var lawnId = LawnIdOption();
        var what = new Option<string?>("--what")
        {
            Description =
                "What was done: "
                + string.Join(", ", Enum.GetNames<JournalKind>().Select(Words.Kebab))
                + ".",
            HelpName = "WHAT",
            Required = true,
        };
        var on = new Option<string?>("--on")
        {
            Description = "Local date, for example 2026-05-31. Left out: today.",
            HelpName = "DATE",
        };
        var more = JournalWords
            .All.Select(word => new Option<string?>("--" + word.Name)
            {
                Description = word.Means,
                HelpName = word.Takes,
            })
            .ToList();
        var command = new Command(
            "add",
            """
            Writes down what was done.

            Example: turfwatch journal add --lawn 1 --what mowed --on 2026-05-31 --amount 2.5in
            Example: turfwatch journal add --lawn 1 --what fed --grade 24-0-11 --amount 4lb/1000sqft
            Example: turfwatch journal add --lawn 1 --what seeded --grass annual-ryegrass --amount 10lb/1000sqft
            """
        )
        {
            lawnId,
            what,
            on,
        };
        more.ForEach(command.Options.Add);
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                var words = new[] { what, on }
                    .Concat(more)
                    .Select(option => (option.Name, Text: parse.GetValue(option)))
                    .Where(word => word.Text is not null)
                    .ToDictionary(
                        word => word.Name.TrimStart('-'),
                        word => word.Text!,
                        StringComparer.Ordinal
                    );
                var told = JournalWords.Read(
                    words,
                    word => "--" + word,
                    NodaTime.LocalDate.MaxIsoValue,
                    faults
                );
                if (told is null)
                {
                    throw new MisuseException(faults);
                }

                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var lawn = await LawnAsync(store, parse.GetValue(lawnId), cancel);
                var now = NodaTime
                    .Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow())
                    .InZone(lawn.Place.Zone)
                    .LocalDateTime;
                var today = now.Date;
                if (!words.ContainsKey("on"))
                {
                    told = told with { Date = today };
                }

                if (told.Date > today)
                {
                    throw new MisuseException(
                        $"--on is {told.Date:uuuu-MM-dd}, which is still to come at the lawn (today is {today:uuuu-MM-dd}); write down what has been done."
                    );
                }

                if (told.Date == today && told.Time > now.TimeOfDay)
                {
                    throw new MisuseException(
                        $"--time is {told.Time:HH:mm}, which is still to come at the lawn (it is {now:HH:mm} there); write down what has been done, with --on for another day."
                    );
                }

                var entry = await store.Journal.AddAsync(lawn.Id, told, cancel);
                await terminal.Out.WriteLineAsync(
                    $"'{lawn.Name}': {Words.Kebab(entry.Kind.ToString())} on {entry.Date:uuuu-MM-dd} {JournalWords.Show(entry)}".TrimEnd()
                        + "."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static Command List(Terminal terminal)
    {
        var lawnId = LawnIdOption();
        var command = new Command("list", "Lists the journal of a lawn, oldest first.") { lawnId };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var lawn = await LawnAsync(store, parse.GetValue(lawnId), cancel);
                var record = await store.Journal.LoadAsync(lawn.Id, cancel);
                foreach (var entry in record.Entries)
                {
                    await terminal.Out.WriteLineAsync(
                        $"{entry.Id, 6}  {entry.Date:uuuu-MM-dd}  {Words.Kebab(entry.Kind.ToString()), -13}  {JournalWords.Show(entry)}".TrimEnd()
                    );
                }

                if (record.Entries.IsEmpty)
                {
                    await terminal.Out.WriteLineAsync(
                        "Nothing yet; 'turfwatch journal add --help' shows how."
                    );
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static Command Remove(Terminal terminal)
    {
        var lawnId = LawnIdOption();
        var entry = new Option<long>("--entry")
        {
            Description = "Number of the entry, as 'journal list' shows it.",
            HelpName = "NUMBER",
            Required = true,
        };
        var command = new Command("remove", "Removes an entry that was a mistake.")
        {
            lawnId,
            entry,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var lawn = await LawnAsync(store, parse.GetValue(lawnId), cancel);
                var id = parse.GetValue(entry);
                var record = await store.Journal.LoadAsync(lawn.Id, cancel);
                if (
                    record.Entries.All(e => e.Id != id)
                    || !await store.Journal.RemoveAsync(id, cancel)
                )
                {
                    throw new MisuseException(
                        $"--entry is {id}, which is not in the journal of lawn {lawn.Id}; 'turfwatch journal list --lawn {lawn.Id}' shows what is."
                    );
                }

                await terminal.Out.WriteLineAsync($"Entry {id} is removed.");
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static Option<long> LawnIdOption() =>
        new("--lawn")
        {
            Description = "Number of the lawn, as 'subscribers list' shows it.",
            HelpName = "NUMBER",
            Required = true,
        };

    private static async Task<Lawn> LawnAsync(TurfStore store, long id, CancellationToken cancel)
    {
        await foreach (var (_, lawns) in store.Subscribers.ListAsync(cancel))
        {
            if (lawns.FirstOrDefault(l => l.Id == id) is { } lawn)
            {
                return lawn;
            }
        }

        throw new MisuseException(
            $"--lawn is {id}, but there is no such lawn; 'turfwatch subscribers list' shows their numbers."
        );
    }
}
