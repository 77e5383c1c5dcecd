using System.Net;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Mail.Signing;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>check</c> says of the way that mail takes: relay, sender, pages that its links lead to, mailbox.</summary>
internal static class CheckedMail
{
    public static async Task LookAsync(
        Settings settings,
        IReadOnlyList<IPAddress> sendsFrom,
        NameServer names,
        Terminal terminal,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        var route = MailRoute.Of(
            settings.Get<SmtpOptions>(),
            settings.Get<FolderOptions>(),
            settings.Get<StoreOptions>()
        );
        var sender = settings.Get<SenderOptions>();
        if (route.IsFolder)
        {
            findings.Add(new(CheckId.Relay, CheckState.Mind, route.Sentence));
            findings.Add(OfSender(sender));
        }
        else
        {
            findings.Add(await RelayAsync(route.Smtp, terminal, cancel));
            findings.Add(OfSender(sender));
            var path = new MailPath(
                sender,
                settings.Get<InboxOptions>(),
                route.Smtp,
                settings.Get<DkimOptions>()
            );
            findings.AddRange(await CheckedNames.LookAsync(path, sendsFrom, names, cancel));
            findings.Add(await CheckedPages.LookAsync(sender.PublicBaseUrl, cancel));
        }

        findings.Add(await InboxAsync(settings.Get<InboxOptions>(), sender, terminal, cancel));
    }

    private static async Task<CheckFinding> RelayAsync(
        SmtpOptions smtp,
        Terminal terminal,
        CancellationToken cancel
    )
    {
        await using var transport = new SmtpTransport(smtp, terminal.Clock);
        return await transport.CheckAsync(cancel) is { } problem
            ? new(CheckId.Relay, CheckState.Wrong, problem)
            : new(CheckId.Relay, CheckState.Well, $"the relay {smtp.Host} answers and lets us in");
    }

    private static CheckFinding OfSender(SenderOptions sender) =>
        sender.PostalAddress.Length == 0
            ? new(
                CheckId.Sender,
                CheckState.Mind,
                "Mail:Sender:PostalAddress is empty; US law asks list mail for one, and the service does not start with a relay without it"
            )
            : new(
                CheckId.Sender,
                CheckState.Well,
                $"messages are from {sender.FromAddress} and name a postal address"
            );

    private static async Task<CheckFinding> InboxAsync(
        InboxOptions inbox,
        SenderOptions sender,
        Terminal terminal,
        CancellationToken cancel
    )
    {
        if (!inbox.Configured)
        {
            return new(
                CheckId.Inbox,
                CheckState.Mind,
                "Mail:Inbox:Host is not set: answers are not read, and refused mail goes to Mail:Sender:FromAddress"
            );
        }

        await using var mailbox = new ImapMailbox(inbox, sender, terminal.Clock);
        return await mailbox.CheckAsync(cancel) is { } problem
            ? new(CheckId.Inbox, CheckState.Wrong, problem)
            : new(CheckId.Inbox, CheckState.Well, $"the mailbox at {inbox.Host} lets us in");
    }
}
