using System.Collections.Concurrent;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Faults.Judging;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>
/// The relay misbehaves towards the running program (faults S1 to S9, S14). What it does to the transport alone
/// is in the mail tests: SmtpRows, SmtpConnectionTests, SmtpTlsTests.
/// </summary>
public sealed class RelayFaultTests
{
    private const int Count = 6;

    private static readonly MessageKind[] Mixed =
    [
        MessageKind.Morning,
        MessageKind.Alert,
        MessageKind.Digest,
    ];

    [Fact]
    public Task A_busy_greeting() =>
        PassesAsync(
            "S1 421 on connecting, twice",
            n =>
                n > 2
                    ? SmtpScript.Healthy
                    : SmtpScript.Healthy.With(
                        SmtpStep.Connect,
                        SmtpFault.Say("421 4.3.2 busy", close: true)
                    ),
            triesAtMost: 1
        );

    [Fact]
    public Task A_connection_closed_at_MAIL() =>
        PassesAsync(
            "S1 421 at MAIL on the first two connections",
            n =>
                n > 2
                    ? SmtpScript.Healthy
                    : SmtpScript.Healthy.With(
                        SmtpStep.Mail,
                        SmtpFault.Say("421 4.3.2 busy", close: true)
                    ),
            triesAtMost: 1
        );

    [Fact]
    public Task A_connection_closed_after_each_message() =>
        PassesAsync(
            "S1 421 after each message",
            _ =>
                (SmtpScript.Healthy with { HealthyMessages = 1 }).With(
                    SmtpStep.Mail,
                    SmtpFault.Say("421 4.7.0 enough", close: true)
                ),
            triesAtMost: 1
        );

    [Fact]
    public Task Greylisting() =>
        PassesAsync(
            "S2 451 greylisting of each first try",
            SmtpStep.Rcpt,
            SmtpFault.Say("451 4.7.1 Greylisted, try again later")
        );

    [Fact]
    public async Task An_address_that_does_not_exist()
    {
        await using var rig = FaultRig.Start("S3 550 5.1.1 at RCPT for one");
        await RefusedAsync(
            rig,
            SmtpStep.Rcpt,
            SmtpFault.Say("550 5.1.1 <r2@example.com>: no such user") with
            {
                ForRecipient = "r2@",
            }
        );
        await using var store = await rig.OpenAsync();
        var refused = await store.Subscribers.FindAsync("r2@example.com", FaultRig.Cancellation);
        Assert.Equal(SubscriberStatus.Suppressed, refused!.Subscriber.Status);
    }

    [Theory]
    [InlineData("S4 552 at the dot for one", "552 5.2.2 mailbox full")]
    [InlineData("S4 554 at the dot for one", "554 5.7.1 rejected")]
    public async Task A_message_refused_for_good(string fault, string reply)
    {
        await using var rig = FaultRig.Start(fault);
        await RefusedAsync(rig, SmtpStep.Dot, SmtpFault.Say(reply) with { ForRecipient = "r2@" });
    }

    [Fact]
    public Task A_message_refused_for_now() =>
        PassesAsync(
            "S5 451 at each first dot",
            SmtpStep.Dot,
            SmtpFault.Say("451 4.3.0 try again later")
        );

    [Fact]
    public Task A_connection_dropped_before_the_body() =>
        PassesAsync("S6 dropped at each first DATA", SmtpStep.Data, SmtpFault.Drop());

    [Fact]
    public Task A_connection_dropped_in_the_body() =>
        PassesAsync(
            "S7 dropped in the midst of the first bodies",
            SmtpStep.Body,
            // Less than the socket's buffers hold would be wholly out before the drop is noticed: unknown, and rightly so.
            SmtpFault.DropAfter(100_000),
            padding: 6_000_000
        );

    [Fact]
    public async Task A_message_taken_and_never_answered()
    {
        await using var rig = FaultRig.Start("S8 taken, then dropped without an answer");
        var verdict = await FirstTriesAsync(rig, SmtpStep.Dot, SmtpFault.TakeThenDrop());
        // Mornings and digests: unknown, never again. Alerts: once more, and known.
        Assert.Equal((Count / 3, Count * 2 / 3), (verdict.Sent, verdict.Unknown));
        Assert.Equal((Count * 2 / 3, Count / 3), (verdict.UnknownArrived, verdict.SecondCopies));
    }

    // A mail library's usual limit is 120 s; here it would make second copies. RFC 5321, 4.5.3.2.6, says 10 minutes.
    [Fact(Explicit = true)]
    public async Task An_answer_after_130_seconds()
    {
        await using var rig = FaultRig.Start("S9 250 comes 130 s after the dot");
        rig.RelayDoes(
            SmtpScript.Healthy.With(
                SmtpStep.Dot,
                SmtpFault.Late(TimeSpan.FromSeconds(130)) with
                {
                    TakeFirst = true,
                }
            )
        );
        await rig.QueueAsync(2, MessageKind.Morning, MessageKind.Alert);
        var service = rig.Serve();
        await Task.Delay(TimeSpan.FromSeconds(100), FaultRig.Cancellation);
        await rig.SettleAsync(service);
        await service.StopAsync();
        var verdict = await rig.JudgeAsync(
            recoverWithin: Duration.FromSeconds(200),
            triesAtMost: 1
        );
        Assert.Equal((2, 0, 0), (verdict.Sent, verdict.Unknown, verdict.SecondCopies));
    }

    [Fact]
    public async Task A_relay_away_for_longer_than_the_window_of_mornings()
    {
        await using var rig = FaultRig.Start("S14 relay away until the morning is over");
        rig.RelayDoes(SmtpScript.Healthy.With(SmtpStep.Connect, SmtpFault.Drop()));
        // It runs before the window opens, however slow the machine is.
        var service = rig.Serve();
        await service.UntilReadySaysAsync(t => t.StartsWith("ready", StringComparison.Ordinal));
        var start = FaultRig.Now;
        await rig.QueueAsync(10, start, start + Duration.FromSeconds(8), Duration.Zero);
        rig.Owes(o => o with { MayEnd = [OutboxState.Expired] });
        await rig.QueueAsync(
            10,
            start,
            start + Duration.FromHours(3),
            Duration.Zero,
            MessageKind.Alert
        );
        await service.UntilAsync(async () => await rig.CountAsync(OutboxState.Expired) == 10);
        // One look at a resting relay a second, then fewer: never one for each message.
        Assert.InRange(rig.Relay.Connections, 1, 15);

        rig.RelayDoes(SmtpScript.Healthy);
        rig.FaultEnds();
        await rig.SettleAsync(service);
        await service.StopAsync();
        Assert.Equal(10, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    /// <summary>The fault meets the first try of each recipient; then all is sent, once.</summary>
    private static async Task PassesAsync(
        string fault,
        SmtpStep step,
        SmtpFault what,
        int padding = 0
    )
    {
        await using var rig = FaultRig.Start(fault);
        rig.Padding = padding;
        var verdict = await FirstTriesAsync(rig, step, what);
        Assert.Equal((Count, 0, 0), (verdict.Sent, verdict.Unknown, verdict.SecondCopies));
    }

    private static async Task PassesAsync(
        string fault,
        Func<int, SmtpScript> script,
        int triesAtMost
    )
    {
        await using var rig = FaultRig.Start(fault);
        rig.RelayDoes(script);
        await rig.QueueAsync(Count, Mixed);
        var service = rig.Serve();
        await rig.SettleAsync(service);
        await service.StopAsync();
        Assert.Equal(Count, (await rig.JudgeAsync(triesAtMost: triesAtMost)).Sent);
    }

    private static async Task<Verdict> FirstTriesAsync(FaultRig rig, SmtpStep step, SmtpFault what)
    {
        // A try is over when the recipient is named again.
        var named = new ConcurrentDictionary<string, int>(StringComparer.Ordinal);
        var counting = new SmtpFault
        {
            If = to =>
            {
                named.AddOrUpdate(to, 1, (_, n) => n + 1);
                return step == SmtpStep.Rcpt && named[to] == 1;
            },
            Reply = what.Reply,
        };
        var script = SmtpScript.Healthy.With(SmtpStep.Rcpt, counting);
        rig.RelayDoes(
            step == SmtpStep.Rcpt
                ? script
                : script.With(step, what with { If = to => named[to] == 1 })
        );
        await rig.QueueAsync(Count, Mixed);
        var service = rig.Serve();
        await rig.SettleAsync(service);
        await service.StopAsync();
        // A dropped connection that was used before is tried anew at once, which may be the second time.
        return await rig.JudgeAsync(triesAtMost: 2);
    }

    private static async Task RefusedAsync(FaultRig rig, SmtpStep step, SmtpFault what)
    {
        rig.RelayDoes(SmtpScript.Healthy.With(step, what));
        await rig.QueueAsync(Count, Mixed);
        rig.Owes(o => o.Recipient == "r2@example.com" ? o with { MayEnd = [OutboxState.Dead] } : o);
        var service = rig.Serve();
        await rig.SettleAsync(service);
        await service.StopAsync();
        Assert.Equal(Count - 1, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }
}
