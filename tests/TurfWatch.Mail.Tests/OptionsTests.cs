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
}
