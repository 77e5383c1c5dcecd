using MimeKit;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>The two ways to leave.</summary>
/// <param name="Https">One-click address; null when the service has no public address.</param>
/// <param name="Mail">A mailto address.</param>
internal sealed record UnsubscribeLinks(string? Https, string Mail)
{
    /// <summary>The one to show in the message.</summary>
    public string Visible => Https ?? Mail;
}

/// <summary>Headers that say to machines: this is list mail, made by a machine, and this is how to leave.</summary>
internal static class ListHeaders
{
    public static void Add(
        HeaderList headers,
        MessageKind kind,
        SenderOptions sender,
        UnsubscribeLinks links
    )
    {
        var list = kind switch
        {
            MessageKind.Alert => "season",
            MessageKind.Digest => "weeks",
            _ => "mornings",
        };
        headers.Add(HeaderId.ListId, $"<{list}.{sender.ListDomain}>"); // RFC 2919
        headers.Add(
            HeaderId.ListUnsubscribe, // RFC 2369 3.2
            links.Https is null ? $"<{links.Mail}>" : $"<{links.Https}>, <{links.Mail}>"
        );
        if (links.Https is not null)
        {
            headers.Add("List-Unsubscribe-Post", "List-Unsubscribe=One-Click"); // RFC 8058
        }

        headers.Add(HeaderId.ListHelp, $"<{sender.OwnerLink}?subject=help>"); // RFC 2369 3.1
        headers.Add(HeaderId.ListOwner, $"<{sender.OwnerLink}>"); // RFC 2369 3.5
        AddMachine(headers, "auto-generated", "list");
    }

    /// <summary>Headers of a letter that goes to one person: made by a machine, but not list mail.</summary>
    /// <param name="answers">It answers a message of that person.</param>
    public static void AddPersonal(HeaderList headers, bool answers) =>
        AddMachine(headers, answers ? "auto-replied" : "auto-generated", "bulk");

    private static void AddMachine(HeaderList headers, string submitted, string precedence)
    {
        headers.Add(HeaderId.AutoSubmitted, submitted); // RFC 3834 5
        headers.Add(HeaderId.Precedence, precedence);
        headers.Add("X-Auto-Response-Suppress", "OOF, AutoReply"); // MS-OXCMAIL 2.1.3.2.20
    }
}
