using System.Security.Cryptography;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Testing;

namespace TurfWatch.Mail.Tests;

/// <summary>
/// What each thing that a relay can do means for the message. The classes of reply are those of RFC 5321
/// 4.2.1, a lost connection is treated as 3.8 says, the wait for the last reply is that of 4.5.3.2.6.
/// </summary>
public sealed class SmtpTransportTests
{
    private static readonly SmtpScript Healthy = SmtpScript.Healthy;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_healthy_relay_receives_the_very_bytes_of_the_row()
    {
        var row = Row();
        await using var server = FaultySmtp.Start();
        var accepted = Assert.IsType<SendOutcome.Accepted>(await SendAsync(server, row));
        Assert.Contains("queued as 1", accepted.Reply, StringComparison.Ordinal);
        var taken = Assert.Single(server.Taken);
        Assert.Equal(row.Content, taken.Content);
        Assert.Equal(row.MessageId, taken.MessageId);
        Assert.Equal(row.EnvelopeSender, taken.Sender);
        Assert.Equal("pat+lawn@example.net", taken.Recipient);
    }

    [Theory]
    [InlineData(SmtpStep.Mail)]
    [InlineData(SmtpStep.Rcpt)]
    [InlineData(SmtpStep.Data)]
    [InlineData(SmtpStep.Dot)]
    public async Task A_4xx_answer_is_temporary(SmtpStep step)
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(step, SmtpFault.Say("451 4.7.1 Greylisted, try again in 5 minutes"))
        );
        var outcome = Assert.IsType<SendOutcome.Temporary>(await SendAsync(server));
        Assert.Equal(TimeSpan.FromMinutes(5), outcome.RetryAfter);
        Assert.Contains("451", outcome.Reply, StringComparison.Ordinal);
        Assert.Empty(server.Taken);
    }

    [Theory]
    [InlineData(SmtpStep.Mail, "550 5.1.8 Sender not welcome", false)]
    [InlineData(SmtpStep.Rcpt, "550 5.1.1 No such mailbox", true)]
    [InlineData(SmtpStep.Rcpt, "550 5.1.2 No such domain", true)]
    [InlineData(SmtpStep.Rcpt, "556 5.1.10 Null MX", true)]
    [InlineData(SmtpStep.Rcpt, "550 5.7.1 Not by our policy", false)]
    [InlineData(SmtpStep.Rcpt, "550 Mailbox unavailable", false)]
    [InlineData(SmtpStep.Data, "554 5.5.1 No", false)]
    [InlineData(SmtpStep.Dot, "552 5.3.4 Too big", false)]
    [InlineData(SmtpStep.Dot, "554 5.7.1 Looks like spam", false)]
    public async Task A_5xx_answer_is_permanent(SmtpStep step, string reply, bool hardBounce)
    {
        await using var server = FaultySmtp.Start(Healthy.With(step, SmtpFault.Say(reply)));
        var outcome = Assert.IsType<SendOutcome.Permanent>(await SendAsync(server));
        Assert.Equal(hardBounce, outcome.HardBounce);
        Assert.StartsWith(reply[..3], outcome.Reply, StringComparison.Ordinal);
        Assert.Empty(server.Taken);
    }

    [Fact]
    public async Task A_421_at_the_dot_is_temporary_because_it_is_an_answer()
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(SmtpStep.Dot, SmtpFault.Say("421 4.3.2 Shutting down", close: true))
        );
        Assert.IsType<SendOutcome.Temporary>(await SendAsync(server));
        Assert.Equal(1, server.Connections);
    }

    [Theory]
    [InlineData(SmtpStep.Mail)]
    [InlineData(SmtpStep.Rcpt)]
    [InlineData(SmtpStep.Data)]
    public async Task A_drop_before_the_body_is_known_not_to_be_sent(SmtpStep step)
    {
        await using var server = FaultySmtp.Start(Healthy.With(step, SmtpFault.Drop()));
        Assert.IsType<SendOutcome.Temporary>(await SendAsync(server));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(5_000)]
    [InlineData(200_000)]
    public async Task A_reset_in_the_middle_of_the_body_is_known_not_to_be_sent(int bytes)
    {
        var row = Row(padding: 4_000_000); // more than the buffers of a loopback connection hold
        await using var server = FaultySmtp.Start(
            Healthy.With(SmtpStep.Body, SmtpFault.DropAfter(bytes))
        );
        Assert.IsType<SendOutcome.Temporary>(await SendAsync(server, row));
        Assert.Empty(server.Taken);
    }

    [Fact]
    public async Task A_drop_after_the_dot_is_unknown_whether_or_not_the_relay_took_it()
    {
        await using var took = FaultySmtp.Start(
            Healthy.With(SmtpStep.Dot, SmtpFault.TakeThenDrop())
        );
        Assert.IsType<SendOutcome.Unknown>(await SendAsync(took));
        Assert.Single(took.Taken);
        await using var lost = FaultySmtp.Start(Healthy.With(SmtpStep.Dot, SmtpFault.Drop()));
        Assert.IsType<SendOutcome.Unknown>(await SendAsync(lost));
        Assert.Empty(lost.Taken);
    }

    [Fact]
    public async Task No_answer_to_the_dot_is_unknown_and_the_next_message_goes_on()
    {
        await using var server = FaultySmtp.Start(n =>
            n == 1 ? Healthy.With(SmtpStep.Dot, SmtpFault.Hang()) : Healthy
        );
        await using var transport = Transport(
            server,
            o => o.FinalReplyTimeout = TimeSpan.FromSeconds(1)
        );
        Assert.IsType<SendOutcome.Unknown>(await transport.SendAsync(Row(), Ct));
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row("b"), Ct));
    }

    [Fact]
    public async Task A_late_answer_to_the_dot_is_waited_for_far_beyond_the_limit_of_commands()
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromSeconds(5)))
        );
        await using var transport = Transport(
            server,
            o => o.CommandTimeout = TimeSpan.FromSeconds(1)
        );
        Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row(), Ct));
        Assert.Single(server.Taken);
    }

    [Fact]
    public async Task A_caller_who_gives_up_after_the_body_learns_that_it_is_unknown()
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(SmtpStep.Dot, SmtpFault.TakeThenHang())
        );
        await using var transport = Transport(server);
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(3));
        Assert.IsType<SendOutcome.Unknown>(await transport.SendAsync(Row(), patience.Token));
    }

    [Fact]
    public async Task A_caller_who_gives_up_before_the_body_gets_the_usual_exception()
    {
        await using var server = FaultySmtp.Start(Healthy.With(SmtpStep.Rcpt, SmtpFault.Hang()));
        await using var transport = Transport(server);
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(2));
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() =>
            transport.SendAsync(Row(), patience.Token)
        );
    }

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

    [Fact]
    public async Task Letters_beyond_ASCII_before_the_at_need_SMTPUTF8()
    {
        var row = TestComposer
            .Make()
            .Compose(
                Samples.Dew(),
                Samples.Reader with
                {
                    Email = "jörg@example.net",
                },
                "k",
                Samples.At(6),
                Samples.At(9)
            );
        await using var poor = FaultySmtp.Start(Healthy with { Extensions = ["8BITMIME"] });
        var refused = Assert.IsType<SendOutcome.Permanent>(await SendAsync(poor, row));
        Assert.Contains("SMTPUTF8", refused.Reply, StringComparison.Ordinal);
        Assert.False(refused.HardBounce);
        Assert.DoesNotContain(poor.Commands, c => c.Contains("RCPT", StringComparison.Ordinal));
        await using var rich = FaultySmtp.Start();
        Assert.IsType<SendOutcome.Accepted>(await SendAsync(rich, row));
        Assert.Equal("jörg@example.net", Assert.Single(rich.Taken).Recipient);
        Assert.Contains(rich.Commands, c => c.Contains("SMTPUTF8", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_domain_in_another_script_goes_out_in_its_ASCII_form()
    {
        var email = AddressRule.Check("pat@bücher.example").Normalised!;
        var row = TestComposer
            .Make()
            .Compose(
                Samples.Dew(),
                Samples.Reader with
                {
                    Email = email,
                },
                "k",
                Samples.At(6),
                Samples.At(9)
            );
        await using var server = FaultySmtp.Start(Healthy with { Extensions = [] });
        Assert.IsType<SendOutcome.Accepted>(await SendAsync(server, row));
        var taken = Assert.Single(server.Taken);
        Assert.Equal("pat@xn--bcher-kva.example", taken.Recipient);
        Assert.Equal(row.Content, taken.Content);
        Assert.All(taken.Content, b => Assert.InRange(b, (byte)1, (byte)126));
    }

    [Fact]
    public async Task Postfix_own_test_server_takes_our_messages()
    {
        await using var sink = await SmtpSink.StartAsync(Ct);
        var options = Options(sink.Port);
        await using (var transport = new SmtpTransport(options, TimeProvider.System))
        {
            for (var i = 0; i < 5; i++)
            {
                Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(Row($"k{i}"), Ct));
            }
        }

        var messages = sink.Messages();
        for (var i = 0; i < 5; i++)
        {
            var id = Row($"k{i}").MessageId;
            Assert.Single(messages, m => m.Contains(id, StringComparison.Ordinal));
        }
    }

    [Fact]
    public async Task An_address_in_an_answer_is_masked_before_it_reaches_a_row_or_a_log()
    {
        await using var server = FaultySmtp.Start(
            Healthy.With(
                SmtpStep.Rcpt,
                SmtpFault.Say("550 5.1.1 <pat+lawn@example.net>: user pat@example.net unknown")
            )
        );
        var outcome = Assert.IsType<SendOutcome.Permanent>(await SendAsync(server));
        Assert.True(outcome.HardBounce);
        Assert.Equal(
            "550 5.1.1 <pa***@example.net>: user pa***@example.net unknown",
            outcome.Reply
        );
    }

    [Theory]
    [InlineData("450 try again in 90 seconds", 90)]
    [InlineData("451 4.7.1 Please retry after 5 min", 300)]
    [InlineData("451 Try again in 2 hours.", 7200)]
    [InlineData("451 greylisted for 300s, come back in 300s", 300)]
    [InlineData("451 in 999999 hours", 86400)]
    public void Hints_to_wait_are_understood(string reply, int seconds) =>
        Assert.Equal(TimeSpan.FromSeconds(seconds), SmtpReplies.RetryHint(reply));

    [Theory]
    [InlineData("451 in a moment")]
    [InlineData("450 4.2.0 mailbox busy")]
    [InlineData("451 error in 12 stages")]
    public void What_is_no_hint_is_not_taken_for_one(string reply) =>
        Assert.Null(SmtpReplies.RetryHint(reply));

    internal static SmtpOptions Options(int port) =>
        new()
        {
            Host = "127.0.0.1",
            Port = port,
            Security = MailSecurity.None,
        };

    internal static OutboxMessage Row(string key = "2026-11-20#12", int padding = 0)
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

    private static SmtpTransport Transport(FaultySmtp server, Action<SmtpOptions>? change = null)
    {
        var options = Options(server.Port);
        change?.Invoke(options);
        return new(options, TimeProvider.System);
    }

    private static async Task<SendOutcome> SendAsync(FaultySmtp server, OutboxMessage? row = null)
    {
        await using var transport = Transport(server);
        return await transport.SendAsync(row ?? Row(), Ct);
    }
}
