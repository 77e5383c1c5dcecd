using TurfWatch.Core;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests;

/// <summary>What the tests of sending share.</summary>
internal static class SmtpRows
{
    public static SmtpOptions Options(int port) =>
        new()
        {
            Host = "127.0.0.1",
            Port = port,
            Security = MailSecurity.None,
        };

    public static OutboxMessage Row(string key = "2026-11-20#12", int padding = 0)
    {
        var row = TestComposer
            .Make()
            .Compose(Samples.Dew(), Samples.Reader, key, Samples.At(6), Samples.At(9));
        if (padding == 0)
        {
            return row;
        }

        var line = "X-Padding: " + new string('x', 60) + "\r\n";
        var front = string.Concat(Enumerable.Repeat(line, padding / line.Length));
        return row with
        {
            Content = [.. System.Text.Encoding.ASCII.GetBytes(front), .. row.Content],
        };
    }

    public static SmtpTransport Transport(FaultySmtp server, Action<SmtpOptions>? change = null)
    {
        var options = Options(server.Port);
        change?.Invoke(options);
        return new(options, TimeProvider.System);
    }

    public static async Task<SendOutcome> SendAsync(FaultySmtp server, OutboxMessage? row = null)
    {
        await using var transport = Transport(server);
        return await transport.SendAsync(row ?? Row(), TestContext.Current.CancellationToken);
    }
}
