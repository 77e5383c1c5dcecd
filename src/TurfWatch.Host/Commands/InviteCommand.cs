using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using TurfWatch.Host.Join;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Store;
using TurfWatch.Weather.Places;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch subscribers invite</c>: asks an address whether it wants the messages, closed doors or not.</summary>
internal static class InviteCommand
{
    public static Command Create(Terminal terminal)
    {
        var email = new Option<string>("--email")
        {
            Description = "Address to ask.",
            HelpName = "ADDRESS",
            Required = true,
        };
        var zip = SubscribersCommand.ZipOption();
        var command = new Command(
            "invite",
            """
            Asks an address to confirm that it wants the messages; nothing else is sent to it until it does. The running
            service sends the request. The grass is guessed from the place; who joins can set it right.

            Example: turfwatch subscribers invite --email neighbour@example.org --zip 85719
            """
        )
        {
            email,
            zip,
        };
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

                var place = ZipDirectory.Lookup(parse.GetValue(zip)!);
                if (place.Problem is not null)
                {
                    faults.Add($"--zip is '{parse.GetValue(zip)}': {place.Problem}");
                }

                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                var settings = parse.Settings(
                    terminal,
                    StoreOptions.Section,
                    "Mail",
                    JoinOptions.Section
                );
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var tokens = await SharedLinks.OpenAsync(
                    settings.Get<StoreOptions>(),
                    store,
                    cancel
                );
                var desk = new JoinDesk(
                    store,
                    new MessageComposer(
                        settings.Get<SenderOptions>(),
                        tokens,
                        settings.Get<InboxOptions>()
                    ),
                    tokens,
                    settings.Get<JoinOptions>(),
                    terminal.Clock,
                    NullLogger<JoinDesk>.Instance
                );
                await desk.AskAsync(
                    address!,
                    JoinReader.Likely(place.Place!),
                    JoinDesk.ByMail,
                    null,
                    cancel,
                    invited: true
                );
                await terminal.Out.WriteLineAsync(
                    $"{address} is asked to confirm, unless it was asked within the hour, receives the messages already, or must not be written to."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }
}
