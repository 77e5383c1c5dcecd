using System.CommandLine;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch erase</c>: what a person asked to have erased.</summary>
internal static class EraseCommand
{
    public static Command Create(Terminal terminal)
    {
        var email = PersonCommand.EmailOption();
        var yes = new Option<bool>("--yes")
        {
            Description = "Do not ask for the address to be typed once more.",
        };
        var never = new Option<bool>("--never-again")
        {
            Description =
                "Keep a mark, from which the address cannot be read, so that nothing is ever sent to it again, whoever asks.",
        };
        var command = new Command(
            "erase",
            """
            Erases a person: address, lawns, journals, deeds, texts of messages, and the copies in the mail folder if messages
            are written to one. What is waiting is not sent. It cannot be taken back. Backups hold the person until they
            are deleted.

            Example: turfwatch erase --email you@example.org
            """
        )
        {
            email,
            yes,
            never,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                await using var store = await SubscribersCommand.OpenAsync(parse, terminal, cancel);
                var data = await PersonCommand.DataAsync(parse, terminal, store, cancel);
                var who = await PersonCommand.FindAsync(
                    store,
                    data,
                    parse.GetValue(email)!,
                    cancel
                );
                if (!parse.GetValue(yes))
                {
                    await RequireConsentAsync(terminal, who.Email, cancel);
                }

                await data.EraseAsync(who.Id, parse.GetValue(never), "the operator", cancel);
                await terminal.Out.WriteLineAsync(
                    $"{who.Email} is erased. Backups made before hold it still; the next ones do not."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static async Task RequireConsentAsync(
        Terminal terminal,
        string address,
        CancellationToken cancel
    )
    {
        if (terminal.In is not { } answers)
        {
            throw new MisuseException(
                "Erasing asks for the address to be typed once more, and nobody is at the terminal; add --yes if that is meant."
            );
        }

        await terminal.Out.WriteLineAsync(
            $"All that is held of {address} will be gone, and cannot be brought back. Type the address to erase it:"
        );
        var typed = await answers.ReadLineAsync(cancel);
        if (!string.Equals(typed?.Trim(), address, StringComparison.OrdinalIgnoreCase))
        {
            throw new MisuseException("That is another address. Nothing was erased.");
        }
    }
}
