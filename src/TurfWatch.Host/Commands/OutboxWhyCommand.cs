using System.CommandLine;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch outbox why</c>: why a person got, or did not get, mail on a day.</summary>
internal static class OutboxWhyCommand
{
    public static Command Create(Terminal terminal)
    {
        var email = PersonCommand.EmailOption();
        var on = new Option<string?>("--on")
        {
            Description = "The person's local date. Left out: today.",
            HelpName = "DATE",
        };
        var asJson = JsonOutput.Option();
        var command = new Command(
            "why",
            """
            Says why a person did or did not get mail on a day: each message of that day and what became of it, and for each
            lawn whose morning message is not among them, what kept it back.

            Example: turfwatch outbox why --email you@example.org --on 2026-11-29
            """
        )
        {
            email,
            on,
            asJson,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                LocalDate? date = parse.GetValue(on) is { } text
                    ? Words.Date("--on", text, faults)
                    : null;
                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                var jobs = parse.Settings(terminal, JobsOptions.Section).Get<JobsOptions>();
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var data = await PersonCommand.DataAsync(parse, terminal, store, cancel);
                var who = await PersonCommand.FindAsync(
                    store,
                    data,
                    parse.GetValue(email)!,
                    cancel
                );
                var held = (await data.DossierAsync(who.Id, cancel))!;
                var story = new DayOfMail(
                    held,
                    await store.Outbox.HeldAsync(cancel),
                    jobs,
                    Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow())
                );
                await PrintAsync(terminal, story, date, parse.GetValue(asJson));
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static async Task PrintAsync(
        Terminal terminal,
        DayOfMail story,
        LocalDate? date,
        bool asJson
    )
    {
        var lines = story.Tell(date).ToList();
        if (asJson)
        {
            await JsonOutput.WriteAsync(terminal, lines);
            return;
        }

        foreach (var line in lines)
        {
            await terminal.Out.WriteLineAsync($"{line.About}: {line.Says}");
        }
    }
}
