using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>The process dies or is told to stop (faults P2 to P9), one worker on SQLite. P1 is the kill storm and KillTests.</summary>
public sealed class ProcessFaultTests
{
    private static readonly (string, string)[] ThreeAtOnce =
    [
        ("Delivery:Connections", "3"),
        ("Mail:Smtp:Connections", "3"),
    ];

    private static readonly MessageKind[] Mixed =
    [
        MessageKind.Morning,
        MessageKind.Alert,
        MessageKind.Digest,
    ];

    [Theory]
    [InlineData("P2 dies after the claim", Failpoint.AfterClaim, 0, 0)]
    [InlineData("P5 dies after 250, before it is written", Failpoint.After250, 1, 0)]
    [InlineData("P5 dies in the midst of a batch", Failpoint.AfterCommit + ":4", 0, 3)]
    public async Task Dies_at_a_point_of_the_delivery(
        string fault,
        string point,
        int unknownMornings,
        int sentBefore
    )
    {
        await using var rig = FaultRig.Start(fault);
        await rig.QueueAsync(9, Mixed);
        (string, string)[] one = [("Delivery:Connections", "1")];
        var dying = rig.Serve(one, new Dictionary<string, string> { [Failpoint.Variable] = point });
        Assert.Equal(128 + 9, await dying.ExitAsync());
        Assert.InRange(rig.Relay.Taken.Count, sentBefore, 4);

        rig.FaultEnds();
        var service = rig.Serve(one);
        await rig.SettleAsync(service);
        await service.StopAsync();

        var verdict = await rig.JudgeAsync(triesAtMost: 2);
        Assert.Equal((unknownMornings, 9 - unknownMornings), (verdict.Unknown, verdict.Sent));
        Assert.Equal(unknownMornings, verdict.UnknownArrived);
    }

    // What a kill meets is held open by the relay, so that the kill meets it surely.
    [Theory]
    [InlineData("P3 killed before DATA", SmtpStep.Mail, 0)]
    [InlineData("P4 killed after the dot, before 250", SmtpStep.Dot, 1)]
    public async Task Killed_in_the_transaction(string fault, SmtpStep step, int copies)
    {
        await using var rig = FaultRig.Start(fault);
        await rig.QueueAsync(3, Mixed);
        var hold = step == SmtpStep.Dot ? SmtpFault.TakeThenHang() : SmtpFault.Hang();
        rig.RelayDoes(SmtpScript.Healthy.With(step, hold));
        var first = rig.Serve(ThreeAtOnce);
        await first.UntilAsync(() =>
            Task.FromResult(
                step == SmtpStep.Dot ? rig.Relay.Taken.Count == 3 : Said(rig, "MAIL") == 3
            )
        );
        await first.KillAsync();

        rig.RelayDoes(SmtpScript.Healthy);
        rig.FaultEnds();
        var second = rig.Serve(ThreeAtOnce);
        await rig.SettleAsync(second);
        await second.StopAsync();

        var verdict = await rig.JudgeAsync();
        // A morning and a digest are never sent again; the alert is, once.
        Assert.Equal((1, 2), (verdict.Sent, verdict.Unknown));
        Assert.Equal((2 * copies, copies), (verdict.UnknownArrived, verdict.SecondCopies));
    }

    [Theory]
    [InlineData("P7 SIGTERM while sending", "TERM", 1)]
    [InlineData("P7 SIGTERM twice while sending", "TERM", 2)]
    [InlineData("P7 SIGINT while sending", "INT", 1)]
    public async Task Told_to_stop_while_sending(string fault, string signal, int times)
    {
        await using var rig = FaultRig.Start(fault);
        await rig.QueueAsync(90, Mixed);
        rig.RelayDoes(
            SmtpScript.Healthy.With(
                SmtpStep.Dot,
                SmtpFault.Late(TimeSpan.FromSeconds(1)) with
                {
                    TakeFirst = true,
                }
            )
        );
        var first = rig.Serve();
        await first.UntilAsync(() => Task.FromResult(rig.Relay.Taken.Count >= 3));
        for (var i = 0; i < times; i++)
        {
            first.Signal(signal);
            await Task.Delay(200, FaultRig.Cancellation);
        }

        var asked = FaultRig.Now;
        Assert.Equal(0, await first.ExitAsync());
        // The two transactions under way end; nothing else is begun, however much waits.
        Assert.True(FaultRig.Now - asked < Duration.FromSeconds(15), "it did not stop");
        Assert.InRange(rig.Relay.Taken.Count, 3, 8);
        Assert.Equal(0, await rig.CountAsync(OutboxState.Claimed));
        Assert.Equal(0, await rig.CountAsync(OutboxState.Sending));

        rig.RelayDoes(SmtpScript.Healthy);
        rig.FaultEnds();
        var second = rig.Serve();
        await rig.SettleAsync(second);
        await second.StopAsync();

        var verdict = await rig.JudgeAsync(triesAtMost: 1);
        Assert.Equal((90, 0), (verdict.Sent, verdict.Unknown));
    }

    [Fact]
    public async Task A_message_that_kills_the_process_is_given_up_and_takes_no_other_with_it()
    {
        await using var rig = FaultRig.Start("P8 a message that kills the process");
        await rig.QueueAsync(6, Mixed);
        rig.Owes(o => o.Recipient == "r3@example.com" ? o with { MayEnd = [OutboxState.Dead] } : o);
        var poison = new Dictionary<string, string>
        {
            [Failpoint.Variable] = Failpoint.AfterClaim + "@r3@",
        };
        (string, string)[] settings = [("Delivery:MaxClaims", "3")];
        for (var death = 0; death < 3; death++)
        {
            Assert.Equal(128 + 9, await rig.Serve(settings, poison).ExitAsync());
        }

        rig.FaultEnds();
        var service = rig.Serve(settings, poison);
        await rig.SettleAsync(service);
        await service.StopAsync();

        Assert.Equal(5, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    [Fact]
    public async Task A_second_process_on_the_same_folder_refuses_and_disturbs_nothing()
    {
        await using var rig = FaultRig.Start("P9 two processes on one SQLite file");
        await rig.QueueAsync(20, Mixed);
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(100)))
        );
        var first = rig.Serve();
        await first.UntilAsync(() => Task.FromResult(rig.Relay.Taken.Count >= 1));

        var second = rig.Serve();
        Assert.NotEqual(0, await second.ExitAsync());
        Assert.Contains("already running", second.Log, StringComparison.Ordinal);

        rig.FaultEnds();
        await rig.SettleAsync(first);
        await first.StopAsync();
        Assert.Equal(20, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    private static int Said(FaultRig rig, string verb) =>
        rig.Relay.Commands.Count(c => c.Contains($" {verb} ", StringComparison.OrdinalIgnoreCase));
}
