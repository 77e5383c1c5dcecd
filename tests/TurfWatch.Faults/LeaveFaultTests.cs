using System.Net;
using Microsoft.Data.Sqlite;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>People leave while the program sends, and while its database is held (faults H2, H3, D7).</summary>
public sealed class LeaveFaultTests
{
    [Fact]
    public async Task Leaving_by_one_click_while_a_batch_runs()
    {
        await using var rig = FaultRig.Start("H2 80 of 120 leave while the batch runs");
        await rig.QueueAsync(120);
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(150)))
        );
        var service = rig.Serve();
        await service.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 3));
        var tokens = LinkTokens.Open(rig.Folder);
        var order = rig.Owed.ToArray();
        new Random(FaultRig.Seed).Shuffle(order);
        var left = new Dictionary<long, Instant>();
        foreach (var owed in order.Take(80))
        {
            var (status, _) = await LeaveAsync(service, tokens, owed.SubscriberId);
            Assert.Equal(HttpStatusCode.OK, status);
            left[owed.SubscriberId] = FaultRig.Now;
        }

        await rig.SettleAsync(service);
        await service.StopAsync();
        rig.Owes(o =>
            left.TryGetValue(o.SubscriberId, out var at)
                ? o with
                {
                    LeftAt = at,
                    MayEnd = [OutboxState.Sent, OutboxState.Suppressed],
                }
                : o
        );
        await rig.OweGoodbyesAsync();
        var verdict = await rig.JudgeAsync(triesAtMost: 2);
        var suppressed = await rig.CountAsync(OutboxState.Suppressed);
        // With nobody cut off in time, or everybody, nothing was shown.
        Assert.InRange(suppressed, 5, 79);
        Assert.Equal(200 - suppressed, verdict.Sent);
    }

    // D7 and H3: who asks to leave is told the truth, and what was taken meanwhile is written down later.
    [Fact]
    public async Task Leaving_while_another_program_holds_the_database()
    {
        await using var rig = FaultRig.Start(
            "D7, H3 the database is held for 8 s; someone leaves meanwhile"
        );
        await rig.QueueAsync(40, MessageKind.Morning, MessageKind.Alert, MessageKind.Digest);
        rig.RelayDoes(
            SmtpScript.Healthy.With(SmtpStep.Dot, SmtpFault.Late(TimeSpan.FromMilliseconds(100)))
        );
        var service = rig.Serve(("Store:BusyTimeout", "00:00:02"));
        await service.UntilAsync(() => Task.FromResult(rig.Relay.TakenCount >= 3));
        var tokens = LinkTokens.Open(rig.Folder);
        var last = rig.Owed[^1];

        var held = await HoldAsync(rig);
        await Task.Delay(TimeSpan.FromSeconds(1), FaultRig.Cancellation);
        var taken = rig.Relay.TakenCount;
        var (status, retryAfter) = await LeaveAsync(service, tokens, last.SubscriberId);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, status);
        Assert.True(retryAfter > TimeSpan.Zero, "no Retry-After");
        await Task.Delay(TimeSpan.FromSeconds(5), FaultRig.Cancellation);
        // Two transactions at most were under way.
        Assert.InRange(rig.Relay.TakenCount, taken, taken + 2);
        await held.DisposeAsync();
        rig.FaultEnds();

        await rig.SettleAsync(service);
        await service.StopAsync();
        Assert.Equal(40, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    private static async Task<SqliteConnection> HoldAsync(FaultRig rig)
    {
        var other = new SqliteConnection(
            $"Data Source={Path.Combine(rig.Folder, "turfwatch.db")};Pooling=False"
        );
        await other.OpenAsync(FaultRig.Cancellation);
        await using var begin = other.CreateCommand();
        begin.CommandText = "BEGIN IMMEDIATE";
        await begin.ExecuteNonQueryAsync(FaultRig.Cancellation);
        return other;
    }

    /// <summary>As a mail service does it (RFC 8058).</summary>
    private static async Task<(HttpStatusCode Status, TimeSpan? RetryAfter)> LeaveAsync(
        ServeProcess service,
        LinkTokens tokens,
        long subscriber
    )
    {
        var token = tokens.Issue(MessageComposer.UnsubscribePurpose, subscriber);
        using var body = new FormUrlEncodedContent([new("List-Unsubscribe", "One-Click")]);
        using var answer = await service.Http.PostAsync(
            MessageComposer.UnsubscribePath + token,
            body,
            FaultRig.Cancellation
        );
        return (answer.StatusCode, answer.Headers.RetryAfter?.Delta);
    }
}
