using System.CommandLine;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Mail.Signing;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch send-test</c>: one message, so that one knows that mail gets through.</summary>
internal static class SendTestCommand
{
    public static Command Create(Terminal terminal)
    {
        var to = new Option<string>("--to")
        {
            Description = "Address to send to.",
            HelpName = "ADDRESS",
            Required = true,
        };
        var command = new Command(
            "send-test",
            """
            Sends one test message by the configured way (relay or folder) and says what the other side
            answered. It goes out at once, beside the outbox, and to nobody else.

            Example: turfwatch send-test --to you@example.org
            """
        )
        {
            to,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var (address, problem) = AddressRule.Check(parse.GetValue(to)!);
                if (problem is not null)
                {
                    throw new MisuseException($"--to is '{parse.GetValue(to)}': {problem}");
                }

                var settings = parse.Settings(terminal, "Mail", StoreOptions.Section);
                var store = settings.Get<StoreOptions>();
                var route = MailRoute.Of(
                    settings.Get<SmtpOptions>(),
                    settings.Get<FolderOptions>(),
                    store
                );
                await terminal.Out.WriteLineAsync(route.Sentence);
                var message = TestMessage.Make(
                    settings.Get<SenderOptions>(),
                    address!,
                    Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow())
                );
                var dkim = settings.Get<DkimOptions>();
                using var signer = dkim.Configured ? new DkimSigner(dkim) : null;
                IMailTransport transport = route.IsFolder
                    ? new FolderTransport(route.Folder)
                    : new SmtpTransport(route.Smtp, terminal.Clock, signer);
                await using var held = transport as IAsyncDisposable;
                return await TellAsync(
                    terminal,
                    await transport.SendAsync(message, cancel),
                    address!
                );
            }
        );
        return command;
    }

    private static async Task<int> TellAsync(Terminal terminal, SendOutcome outcome, string address)
    {
        switch (outcome)
        {
            case SendOutcome.Accepted accepted:
                await terminal.Out.WriteLineAsync(
                    $"The test message to {address} was taken: {accepted.Reply}"
                );
                return CommandShell.Ok;
            case SendOutcome.Temporary temporary:
                await terminal.Error.WriteLineAsync(
                    $"Refused for now: {temporary.Reply} Try again in some minutes."
                );
                return CommandShell.Failed;
            case SendOutcome.Permanent permanent:
                await terminal.Error.WriteLineAsync(
                    $"Refused for good: {permanent.Reply} Check the address and Mail:Sender:FromAddress."
                );
                return CommandShell.Failed;
            case SendOutcome.Unknown unknown:
                await terminal.Error.WriteLineAsync(
                    $"Nobody can tell whether it was taken: {unknown.Reason} Look into the mailbox."
                );
                return CommandShell.Failed;
            case SendOutcome.RelayDown down:
                await terminal.Error.WriteLineAsync(
                    $"The mail relay cannot be used: {down.Reason} 'turfwatch check' tells more."
                );
                return CommandShell.Failed;
            default:
                throw new InvalidOperationException($"no words for {outcome}");
        }
    }
}
