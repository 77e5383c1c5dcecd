using TurfWatch.Core;
using TurfWatch.Testing;
using static TurfWatch.Mail.Tests.SmtpRows;

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
        // More than the buffers of a loopback connection hold: Linux lets the two sides' grow to 4 and 32 MiB.
        var row = Row(padding: 40_000_000);
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
    public async Task A_receipt_goes_out_with_the_empty_return_path()
    {
        var row = Row() with { EnvelopeSender = "" };
        await using (var server = FaultySmtp.Start())
        {
            Assert.IsType<SendOutcome.Accepted>(await SendAsync(server, row));
            Assert.Equal("", Assert.Single(server.Taken).Sender);
        }

        await using var sink = await SmtpSink.StartAsync(Ct);
        await using (var transport = new SmtpTransport(Options(sink.Port), TimeProvider.System))
        {
            Assert.IsType<SendOutcome.Accepted>(await transport.SendAsync(row, Ct));
        }

        // RFC 5321 4.5.5, in the words of the other side.
        Assert.Contains(
            "X-Mail-Args: <>",
            Assert.Single(sink.Messages()),
            StringComparison.Ordinal
        );
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
}
