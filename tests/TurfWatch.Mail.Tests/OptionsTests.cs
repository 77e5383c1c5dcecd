using TurfWatch.Mail.Reading;

namespace TurfWatch.Mail.Tests;

public sealed class OptionsTests
{
    private static readonly SmtpOptions Relay = new() { Host = "smtp.example.org" };

    [Fact]
    public void The_defaults_are_without_fault_and_send_to_a_folder()
    {
        Assert.Empty(new SmtpOptions().Faults());
        Assert.Empty(new SenderOptions().Faults(new SmtpOptions()));
        Assert.Empty(new FolderOptions().Faults());
        Assert.False(new SmtpOptions().Configured);
        Assert.Empty(Relay.Faults());
        Assert.Empty(Samples.Sender.Faults(Relay));
    }

    [Fact]
    public void Mail_for_real_needs_a_postal_address_and_a_real_sender()
    {
        var faults = new SenderOptions().Faults(Relay).ToList();
        Assert.Contains(
            faults,
            f => f.StartsWith("Mail:Sender:PostalAddress is empty", StringComparison.Ordinal)
        );
        Assert.Contains(
            faults,
            f => f.StartsWith("Mail:Sender:FromAddress is", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Each_fault_names_key_value_and_remedy()
    {
        var smtp = new SmtpOptions
        {
            Host = "smtp://x",
            Port = 0,
            Security = MailSecurity.None,
            Username = "u",
            CommandTimeout = TimeSpan.FromHours(1),
            FinalReplyTimeout = TimeSpan.FromMinutes(2),
            Connections = 0,
            MessagesPerConnection = 0,
            CaFile = "/no/such/file",
        };
        var sender = new SenderOptions
        {
            FromName = "a\r\nb",
            FromAddress = "nobody",
            PublicBaseUrl = new Uri("http://x.example.org"),
            ListIdDomain = "not a domain",
        };
        string[] faults = [.. smtp.Faults(), .. sender.Faults()];
        foreach (
            var key in new[]
            {
                "Host",
                "Port",
                "Security",
                "Username",
                "CommandTimeout",
                "FinalReplyTimeout",
                "Connections",
                "MessagesPerConnection",
                "CaFile",
            }
        )
        {
            Assert.Contains(
                faults,
                f => f.StartsWith($"Mail:Smtp:{key} ", StringComparison.Ordinal)
            );
        }

        foreach (var key in new[] { "FromName", "FromAddress", "PublicBaseUrl", "ListIdDomain" })
        {
            Assert.Contains(
                faults,
                f => f.StartsWith($"Mail:Sender:{key} ", StringComparison.Ordinal)
            );
        }

        Assert.All(faults, f => Assert.Matches("(?i)(write|set|keep|remove)", f));
        Assert.All(faults, f => Assert.EndsWith(".", f, StringComparison.Ordinal));
    }

    [Fact]
    public void A_mailbox_is_optional_and_needs_little()
    {
        Assert.Empty(new InboxOptions().Faults());
        Assert.Empty(Mailbox().Faults());
        Assert.False(new InboxOptions().Configured);
        Assert.Contains(
            "Mail:Inbox:Address is 'lawn@example.org' without a mailbox",
            Assert.Single(new InboxOptions { Address = "lawn@example.org" }.Faults()),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Each_fault_of_a_mailbox_names_key_value_and_remedy()
    {
        var faults = new List<string>();
        foreach (
            var (key, spoil) in new (string, Action<InboxOptions>)[]
            {
                ("Host", o => o.Host = "imap://x"),
                ("Port", o => o.Port = 70_000),
                ("Security", o => o.Security = MailSecurity.None),
                ("Username", o => o.Username = ""),
                ("Password", o => o.Password = ""),
                ("Password", o => o.PasswordFile = "/etc/hostname"),
                ("PasswordFile", o => o.PasswordFile = "/no/such/file"),
                ("CaFile", o => o.CaFile = "/no/such/file"),
                ("Address", o => o.Address = ""),
                ("Address", o => o.Address = "Lawn <lawn@example.org>"),
                ("Address", o => o.Address = "lawn+x@example.org"),
                ("Address", o => o.Address = "a-name-longer-than-the-22@example.org"),
                ("BounceAddress", o => o.BounceAddress = "bounces"),
                ("Delimiter", o => o.Delimiter = "++"),
                ("Folder", o => o.Folder = ""),
                ("DoneFolder", o => o.DoneFolder = "a\r\nb"),
                ("Folder", o => o.DoneFolder = "inbox"),
                ("MaxKilobytes", o => o.MaxKilobytes = 1),
                ("ConnectTimeout", o => o.ConnectTimeout = TimeSpan.Zero),
                ("CommandTimeout", o => o.CommandTimeout = TimeSpan.FromHours(1)),
                ("PollEvery", o => o.PollEvery = TimeSpan.FromSeconds(1)),
                ("ReconnectCap", o => o.ReconnectCap = TimeSpan.FromDays(1)),
            }
        )
        {
            var options = Mailbox();
            spoil(options);
            var found = options.Faults().ToList();
            Assert.Contains(
                found,
                f =>
                    f.StartsWith($"Mail:Inbox:{key} ", StringComparison.Ordinal)
                    || f.StartsWith($"Mail:Inbox:{key},", StringComparison.Ordinal)
            );
            faults.AddRange(found);
        }

        Assert.All(faults, f => Assert.Matches("(?i)(write|set|keep|remove)", f));
        Assert.All(faults, f => Assert.EndsWith(".", f, StringComparison.Ordinal));
    }

    private static InboxOptions Mailbox() =>
        new()
        {
            Host = "imap.example.org",
            Username = "lawn",
            Password = "x",
            Address = "lawn@example.org",
        };
}
