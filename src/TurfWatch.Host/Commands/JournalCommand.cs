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
        var what = new Option<string>("--what")
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
        var at = new Option<string?>("--time")
        {
            Description =
                "Local time of a soil reading, for example 07:30; it tells the day's swing from the day's error. Only for soil-measured.",
            HelpName = "TIME",
        };
        var amount = new Option<string?>("--amount")
        {
            Description =
                "How much, with its unit: mowed 2.5in or 6cm (height of cut); fed or seeded 1lb/1000sqft or 5g/m2; watered 0.5in or 12mm; soil-measured 55F or 13C (at 4 in).",
            HelpName = "AMOUNT",
        };
        var command = new Command(
            "add",
            """
            Writes down what was done.

            Example: turfwatch journal add --lawn 1 --what mowed --on 2026-05-31 --amount 2.5in
            """
        )
        {
            lawnId,
            what,
            on,
            at,
            amount,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                var kind = Words.OneOf<JournalKind>("--what", parse.GetValue(what)!, faults);
                var date = parse.GetValue(on) is { } text ? Words.Date("--on", text, faults) : null;
                var much =
                    kind is not null && parse.GetValue(amount) is { } typed
                        ? Measures.Amount(kind.Value, "--amount", typed, faults)
                        : null;
                var time = parse.GetValue(at) is { } hour
                    ? Words.Time("--time", hour, faults)
                    : null;
                if (time is not null && kind is { } other and not JournalKind.SoilMeasured)
                {
                    faults.Add(
                        $"--time is {time:HH:mm}, but --what is {Words.Kebab(other.ToString())}; only soil-measured takes a time of day."
                    );
                }

                if (faults.Count > 0)
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
                if (date > today)
                {
                    throw new MisuseException(
                        $"--on is {date:uuuu-MM-dd}, which is still to come at the lawn (today is {today:uuuu-MM-dd}); write down what has been done."
                    );
                }

                if ((date ?? today) == today && time > now.TimeOfDay)
                {
                    throw new MisuseException(
                        $"--time is {time:HH:mm}, which is still to come at the lawn (it is {now:HH:mm} there); write down what has been done, with --on for another day."
                    );
                }

                var entry = await store.Journal.AddAsync(
                    lawn.Id,
                    kind!.Value,
                    date ?? today,
                    much,
                    cancel,
                    time
                );
                await terminal.Out.WriteLineAsync(
                    $"'{lawn.Name}': {Words.Kebab(entry.Kind.ToString())} on {entry.Date:uuuu-MM-dd} {Measures.Show(entry.Kind, entry.Amount)}".TrimEnd()
                        + Time(entry)
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
                        $"{entry.Id, 6}  {entry.Date:uuuu-MM-dd}  {Words.Kebab(entry.Kind.ToString()), -13}  {Measures.Show(entry.Kind, entry.Amount)}".TrimEnd()
                            + Time(entry)
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

    private static string Time(JournalEntry entry) =>
        entry.Time is { } time ? $" at {time:HH:mm}" : "";

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
