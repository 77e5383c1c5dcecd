using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>
/// The clock of the running program jumps or the machine sleeps (faults T1, T2, T5); T3 is in WorkerFaultTests. Each
/// local date of 2026 to 2036 is in DueInstantTests. The processes are killed in the end, for libfaketime upsets how
/// .NET waits at an orderly stop.
/// </summary>
public sealed class ClockFaultTests
{
    private static readonly MessageKind[] Mixed =
    [
        MessageKind.Morning,
        MessageKind.Alert,
        MessageKind.Digest,
    ];

    // 2027: clocks go to daylight saving time on 14 March at 2:00 and back on 7 November at 2:00 (15 U.S.C. 260a).
    [Theory]
    [InlineData("T1 spring: 2:30 does not exist", "2027-03-14T06:59:50Z", 2, 30, "2027-03-14")]
    [InlineData("T1 autumn: 1:30 comes twice", "2027-11-07T05:29:50Z", 1, 30, "2027-11-07")]
    public async Task A_morning_in_the_hour_that_the_clock_skips_or_repeats_comes_once(
        string fault,
        string start,
        int hour,
        int minute,
        string date
    )
    {
        await using var rig = FaultRig.Start(fault);
        var from = Instant.FromDateTimeOffset(DateTimeOffset.Parse(start));
        var clock = new FakeClock(rig.Folder, from - FaultRig.Now);
        await using (
            var store = await rig.OpenAsync(
                new ShiftedClock(TimeProvider.System, from - Duration.FromHours(2))
            )
        )
        {
            var to = await store.Subscribers.AddAsync(
                "r1@example.com",
                new()
                {
                    Name = LedgerLine.Canary(1),
                    Place = new("10001", "New York", "NY", 40.75, -73.99, "America/New_York"),
                    Grass = GrassKind.TallFescue,
                    MessageTime = new(hour, minute),
                    DigestDay = null,
                    Alerts = false,
                },
                FaultRig.Cancellation
            );
            rig.Owe(
                new(
                    to!.Subscriber.Id,
                    MessageKind.Morning,
                    $"{date}#{to.Lawns[0].Id}",
                    "r1@example.com",
                    LedgerLine.Canary(1),
                    from,
                    from + Duration.FromMinutes(20)
                )
            );
        }

        var service = rig.Serve([], clock.Environment);
        await rig.SettleAsync(service);
        // Through the hour that comes again, and beyond.
        for (var jump = 1; jump <= 4; jump++)
        {
            clock.Move(from - FaultRig.Now + Duration.FromMinutes(31 * jump));
            await Task.Delay(TimeSpan.FromSeconds(2.5), FaultRig.Cancellation);
        }

        await service.KillAsync();
        Assert.Equal(1, (await rig.JudgeAsync(clockAhead: clock.AheadAt)).Sent);
    }

    [Theory]
    [InlineData("T2 clock 9 h forward in mid-run", 9)]
    [InlineData("T2 clock 1 d forward in mid-run", 24, Explicit = true)]
    public async Task The_clock_jumps_forward(string fault, int hours)
    {
        await using var rig = FaultRig.Start(fault);
        var clock = new FakeClock(rig.Folder, Duration.Zero);
        await rig.QueueAsync(80, Mixed);
        rig.Owes(o => o with { MayEnd = [OutboxState.Sent, OutboxState.Expired] });
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(150)))
        );
        var service = rig.Serve([], clock.Environment);
        await service.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 5));
        clock.Move(Duration.FromHours(hours));
        rig.FaultEnds();
        await rig.SettleAsync(service);
        await service.KillAsync();

        var verdict = await rig.JudgeAsync(clockAhead: clock.AheadAt, triesAtMost: 1);
        Assert.InRange(verdict.Sent, 5, 60);
    }

    [Fact]
    public async Task The_clock_is_set_back_an_hour_and_right_again()
    {
        await using var rig = FaultRig.Start("T2 clock 1 h back for 5 s in mid-run");
        var clock = new FakeClock(rig.Folder, Duration.Zero);
        await rig.QueueAsync(40, Mixed);
        // Set back, the program is before the window by its own clock; what is under way may end.
        rig.Owes(o => o with { NotBefore = o.NotBefore - Duration.FromHours(1) });
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(150)))
        );
        var service = rig.Serve([], clock.Environment);
        await service.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 5));
        clock.Move(Duration.FromHours(-1));
        await Task.Delay(TimeSpan.FromSeconds(5), FaultRig.Cancellation);
        clock.Move(Duration.Zero);
        rig.FaultEnds();
        await rig.SettleAsync(service);
        await service.KillAsync();
        Assert.Equal(40, (await rig.JudgeAsync(clockAhead: clock.AheadAt, triesAtMost: 1)).Sent);
    }

    [Fact]
    public async Task The_machine_sleeps_for_twelve_hours()
    {
        await using var rig = FaultRig.Start("T5 machine asleep for 12 h in mid-run");
        var clock = new FakeClock(rig.Folder, Duration.Zero);
        await rig.QueueAsync(80, Mixed);
        rig.Owes(o => o with { MayEnd = [OutboxState.Sent, OutboxState.Expired] });
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(150)))
        );
        var service = rig.Serve([], clock.Environment);
        await service.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 5));
        service.Pause();
        clock.Move(Duration.FromHours(12));
        await Task.Delay(TimeSpan.FromSeconds(2), FaultRig.Cancellation);
        service.Resume();
        rig.FaultEnds();
        await rig.SettleAsync(service);
        await service.KillAsync();

        var verdict = await rig.JudgeAsync(clockAhead: clock.AheadAt, triesAtMost: 1);
        // Yesterday's mornings are no flood today.
        Assert.InRange(verdict.Sent, 5, 60);
    }
}
