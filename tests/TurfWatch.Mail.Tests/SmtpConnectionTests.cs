using TurfWatch.Core;
using TurfWatch.Testing;
using static TurfWatch.Mail.Tests.SmtpRows;

namespace TurfWatch.Mail.Tests;

/// <summary>Connections: when the relay counts as down, how logins and long answers end, when a connection is kept or replaced.</summary>
public sealed class SmtpConnectionTests
{
    private static readonly SmtpScript Healthy = SmtpScript.Healthy;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Nobody_at_the_port_means_the_relay_is_down()
    {
        var server = FaultySmtp.Start();
        var port = server.Port;
        await server.DisposeAsync();
        await using var transport = new SmtpTransport(Options(port), TimeProvider.System);
        var down = Assert.IsType<SendOutcome.RelayDown>(await transport.SendAsync(Row(), Ct));
        Assert.Contains(
            $"127.0.0.1:{port} cannot be reached",
            down.Reason,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task An_unknown_host_means_the_relay_is_down()
    {
        var options = Options(25);
        options.Host = "no-such-relay.invalid"; // RFC 6761 6.4: this name never resolves
        await using var transport = new SmtpTransport(options, TimeProvider.System);
        var down = Assert.IsType<SendOutcome.RelayDown>(await transport.SendAsync(Row(), Ct));
        Assert.Contains("no-such-relay.invalid", down.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_421_greeting_a_silent_one_and_a_dropped_one_mean_the_relay_is_down()
    {
        foreach (
            var fault in new[]
            {
                SmtpFault.Say("421 4.3.2 Busy", close: true),
                SmtpFault.Drop(),
                SmtpFault.Hang(),
            }
        )
        {
            await using var server = FaultySmtp.Start(Healthy.With(SmtpStep.Connect, fault));
            await using var transport = Transport(
                server,
                o => o.ConnectTimeout = TimeSpan.FromSeconds(1)
            );
            Assert.IsType<SendOutcome.RelayDown>(await transport.SendAsync(Row(), Ct));
        }
    }

    [Theory]
    [InlineData(SmtpStep.Ehlo)]
    [InlineData(SmtpStep.Rcpt)]
    public async Task An_answer_that_trickles_in_is_cut_off(SmtpStep step)
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(step, SmtpFault.Trickle(TimeSpan.FromMilliseconds(100)))
        );
        await using var transport = Transport(
            server,
            o =>
            {
                o.ConnectTimeout = TimeSpan.FromSeconds(2);
                o.CommandTimeout = TimeSpan.FromSeconds(0.5);
            }
        );
        var outcome = await transport.SendAsync(Row(), Ct);
        Assert.True(
            outcome is SendOutcome.RelayDown or SendOutcome.Temporary,
            $"the outcome was {outcome}"
        );
    }

    [Fact]
    public async Task Endless_answers_are_cut_off_before_they_fill_the_memory()
    {
        foreach (var fault in new[] { SmtpFault.Flood(), SmtpFault.LongLine(1_000_000) })
        {
            await using var server = FaultySmtp.Start(Healthy.With(SmtpStep.Rcpt, fault));
            var before = GC.GetTotalAllocatedBytes();
            Assert.IsType<SendOutcome.Temporary>(await SendAsync(server));
            Assert.InRange(GC.GetTotalAllocatedBytes() - before, 0, 64_000_000);
        }
    }

    [Fact]
    public async Task A_relay_that_asks_for_a_login_is_down_and_the_message_is_not_at_fault()
    {
        foreach (var reply in new[] { "530 5.7.0 Authentication required", "454 4.7.0 Later" })
        {
            await using var server = FaultySmtp.Start(
                Healthy.With(SmtpStep.Mail, SmtpFault.Say(reply))
            );
            Assert.IsType<SendOutcome.RelayDown>(await SendAsync(server));
        }
    }

    [Theory]
    [InlineData("535 5.7.8 Wrong")]
    [InlineData("454 4.7.0 Temporary authentication failure")]
    public async Task A_refused_login_means_the_relay_is_down(string reply)
    {
        await using var server = FaultySmtp.Start(
            (Healthy with { Login = "keeper secret" }).With(SmtpStep.Auth, SmtpFault.Say(reply))
        );
        await using var transport = Transport(
            server,
            o => (o.Username, o.Password) = ("keeper", "secret")
        );
        var down = Assert.IsType<SendOutcome.RelayDown>(await transport.SendAsync(Row(), Ct));
        Assert.Contains("login of 'keeper'", down.Reason, StringComparison.Ordinal);
        Assert.DoesNotContain("secret", down.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_password_may_be_the_first_line_of_a_file()
    {
        var file = Path.GetTempFileName();
        await File.WriteAllTextAsync(file, "s3cret\n", Ct);
        await using var server = FaultySmtp.Start(Healthy with { Login = "keeper s3cret" });
        await using var transport = Transport(
            server,
            o => (o.Username, o.PasswordFile) = ("keeper", file)
        );
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row(), Ct));
        File.Delete(file);
    }

    [Fact]
    public async Task One_connection_carries_many_messages()
    {
        await using var server = FaultySmtp.Start();
        await using var transport = Transport(server);
        for (var i = 0; i < 10; i++)
        {
            Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row($"k{i}"), Ct));
        }

        Assert.Equal(1, server.Connections);
        Assert.Equal(
            10,
            server.Taken.Select(t => t.MessageId).Distinct(StringComparer.Ordinal).Count()
        );
    }

    [Fact]
    public async Task A_connection_is_given_up_after_so_many_messages()
    {
        await using var server = FaultySmtp.Start();
        await using var transport = Transport(server, o => o.MessagesPerConnection = 3);
        for (var i = 0; i < 7; i++)
        {
            Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row($"k{i}"), Ct));
        }

        Assert.Equal(3, server.Connections);
    }

    [Fact]
    public async Task A_kept_connection_that_fails_is_replaced_and_the_message_goes_out_once()
    {
        foreach (
            var fault in new[] { SmtpFault.Drop(), SmtpFault.Say("421 4.7.0 Enough", close: true) }
        )
        {
            foreach (var step in new[] { SmtpStep.Mail, SmtpStep.Rcpt, SmtpStep.Data })
            {
                await using var server = FaultySmtp.Start(
                    (Healthy with { HealthyMessages = 2 }).With(step, fault)
                );
                await using var transport = Transport(server);
                for (var i = 0; i < 5; i++)
                {
                    var outcome = await transport.SendAsync(Row($"k{i}"), Ct);
                    Assert.True(outcome is SendOutcome.Accepted, $"{step} {i}: {outcome}");
                }

                Assert.Equal(5, server.Taken.Count);
                Assert.Equal(3, server.Connections);
            }
        }
    }

    [Fact]
    public async Task A_refusal_leaves_the_connection_fit_for_the_next_recipient()
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(
                SmtpStep.Rcpt,
                SmtpFault.Say("550 5.1.1 Unknown") with
                {
                    ForRecipient = "gone",
                }
            )
        );
        await using var transport = Transport(server);
        var gone = Row() with { Recipient = "gone@example.net" };
        Assert.IsType<SendOutcome.Permanent>(await transport.SendAsync(gone, Ct));
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row(), Ct));
        Assert.Equal(1, server.Connections);
    }
}
