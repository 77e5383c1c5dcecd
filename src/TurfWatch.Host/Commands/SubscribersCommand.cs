using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using TurfWatch.Core;
using TurfWatch.Host.People;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch subscribers add|invite|list|remove</c>.</summary>
internal static class SubscribersCommand
{
    public static Command Create(Terminal terminal) =>
        new("subscribers", "Who receives messages, and about which lawns.")
        {
            Add(terminal),
            InviteCommand.Create(terminal),
            List(terminal),
            Remove(terminal),
        };

    private static Command Add(Terminal terminal)
    {
        var email = new Option<string>("--email")
        {
            Description = "Address that the messages go to.",
            HelpName = "ADDRESS",
            Required = true,
        };
        var zip = ZipOption();
        var words = LawnArguments.Create();
        var command = new Command(
            "add",
            """
            Adds an address and its lawn. A second lawn for the same address is added beside the first.

            Example: turfwatch subscribers add --email you@example.org --zip 85719 --grass bermuda
                       --overseed perennial-ryegrass --area 3000sqft --irrigated yes --time 06:15
            """
        )
        {
            email,
            zip,
        };
        words.ForEach(command.Options.Add);
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                var (address, problem) = AddressRule.Check(parse.GetValue(email)!);
                if (problem is not null)
                {
                    faults.Add($"--email is '{parse.GetValue(email)}': {problem}");
                }

                var lawn = LawnArguments.Read(parse, parse.GetValue(zip)!, words, faults);
                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                await using var store = await OpenAsync(parse, terminal, cancel);
                var added = await AddAsync(store, address!, lawn!, cancel);
                await terminal.Out.WriteLineAsync(
                    $"{address} gets a message about '{lawn!.Name}' in {lawn.Place.Name}, {lawn.Place.State} at {lawn.MessageTime:HH:mm} {lawn.Place.ZoneId} time each morning (lawn {added.Id})."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static async Task<Lawn> AddAsync(
        TurfStore store,
        string address,
        Lawn lawn,
        CancellationToken cancel
    )
    {
        if (await store.Subscribers.AddAsync(address, lawn, cancel) is { } added)
        {
            return added.Lawns[0];
        }

        var known = (await store.Subscribers.FindAsync(address, cancel))!;
        if (known.Subscriber.Status != SubscriberStatus.Active)
        {
            await store.Subscribers.SetStatusAsync(
                known.Subscriber.Id,
                SubscriberStatus.Active,
                "added again by the operator",
                cancel
            );
        }

        return known.Lawns.Any(l => Same(l, lawn))
            ? throw new MisuseException(
                $"{address} has this very lawn already; 'turfwatch subscribers list' shows it."
            )
            : await store.Subscribers.AddLawnAsync(known.Subscriber.Id, lawn, cancel);
    }

    private static bool Same(Lawn known, Lawn lawn) =>
        known with { Id = 0, MowDays = lawn.MowDays, WaterDays = lawn.WaterDays } == lawn
        && known.MowDays.SequenceEqual(lawn.MowDays)
        && known.WaterDays.SequenceEqual(lawn.WaterDays);

    private static Command List(Terminal terminal)
    {
        var command = new Command(
            "list",
            "Lists addresses, whether they receive mail, and their lawns."
        );
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                await using var store = await OpenAsync(parse, terminal, cancel);
                var any = false;
                await foreach (var (subscriber, lawns) in store.Subscribers.ListAsync(cancel))
                {
                    any = true;
                    await terminal.Out.WriteLineAsync(
                        $"{subscriber.Email}  {Words.Kebab(subscriber.Status.ToString())}"
                    );
                    foreach (var lawn in lawns)
                    {
                        var over = lawn.Overseed is { } o
                            ? $" over-seeded with {Words.Kebab(o.ToString())}"
                            : "";
                        await terminal.Out.WriteLineAsync(
                            $"    lawn {lawn.Id}  '{lawn.Name}'  {lawn.Place.Zip} {lawn.Place.Name}, {lawn.Place.State}  {Words.Kebab(lawn.Grass.ToString())}{over}  {lawn.MessageTime:HH:mm} {lawn.Place.ZoneId}"
                        );
                    }
                }

                if (!any)
                {
                    await terminal.Out.WriteLineAsync(
                        "Nobody yet; 'turfwatch subscribers add --help' shows how."
                    );
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static Command Remove(Terminal terminal)
    {
        var email = new Option<string>("--email")
        {
            Description = "The address.",
            HelpName = "ADDRESS",
            Required = true,
        };
        var command = new Command(
            "remove",
            "Removes an address with its lawns and journal; what waits for it is not sent."
        )
        {
            email,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var address = parse.GetValue(email)!;
                await using var store = await OpenAsync(parse, terminal, cancel);
                var known = await store.Subscribers.FindAsync(address.Trim(), cancel);
                if (known is null)
                {
                    throw new MisuseException(
                        $"--email is '{address}', which is not on the list; 'turfwatch subscribers list' shows who is."
                    );
                }

                var data = await PersonCommand.DataAsync(parse, terminal, store, cancel);
                await data.EraseAsync(known.Subscriber.Id, never: false, "the operator", cancel);
                await terminal.Out.WriteLineAsync($"{known.Subscriber.Email} is removed.");
                return CommandShell.Ok;
            }
        );
        return command;
    }

    internal static Option<string> ZipOption() =>
        new("--zip")
        {
            Description = "US ZIP code of the lawn.",
            HelpName = "ZIP",
            Required = true,
        };

    internal static Task<TurfStore> OpenAsync(
        ParseResult parse,
        Terminal terminal,
        CancellationToken cancel
    ) =>
        TurfStore.OpenAsync(
            parse.Settings(terminal, StoreOptions.Section).Get<StoreOptions>(),
            terminal.Clock,
            cancel,
            StoreAccess.Beside
        );
}
