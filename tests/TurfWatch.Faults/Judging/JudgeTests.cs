using NodaTime;
using TurfWatch.Core;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults.Judging;

/// <summary>A judge that cannot condemn is no judge: each broken promise is planted, and must be found.</summary>
public sealed class JudgeTests
{
    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 13, 30);

    [Fact]
    public void A_clean_run_is_clean()
    {
        var verdict = Judge.Weigh(Clean());
        Assert.Empty(verdict.Breaches);
        Assert.Equal(
            (3, 2, 0, 0, 1, 0),
            (
                verdict.Rows,
                verdict.Sent,
                verdict.Duplicates,
                verdict.Lost,
                verdict.Unknown,
                verdict.SecondCopies
            )
        );
    }

    [Fact]
    public void A_row_that_is_gone_is_a_loss()
    {
        var run = Clean();
        Condemns(
            run with
            {
                Rows = [.. run.Rows.Skip(1)],
                Ledger = [.. run.Ledger.Skip(1)],
            },
            "I1",
            lost: 1
        );
    }

    [Fact]
    public void A_row_that_says_sent_while_the_relay_has_nothing_is_a_loss()
    {
        var run = Clean();
        Condemns(run with { Ledger = [.. run.Ledger.Skip(1)] }, "I1", lost: 1);
    }

    [Theory]
    [InlineData(OutboxState.Queued)]
    [InlineData(OutboxState.Sending)]
    [InlineData(OutboxState.Expired)]
    [InlineData(OutboxState.Dead)]
    public void An_end_that_the_fault_does_not_excuse_is_a_loss(OutboxState state)
    {
        var run = Clean();
        Condemns(
            run with
            {
                Rows = [run.Rows[0] with { State = state }, .. run.Rows.Skip(1)],
                Ledger = [.. run.Ledger.Skip(1)],
            },
            "I1",
            lost: 1
        );
    }

    [Fact]
    public void A_second_copy_of_a_morning_is_a_duplicate()
    {
        var run = Clean();
        Condemns(run with { Ledger = [.. run.Ledger, run.Ledger[0]] }, "I2", duplicates: 1);
    }

    [Fact]
    public void An_alert_may_come_twice_but_not_three_times_and_not_in_two_versions()
    {
        var run = Clean();
        var alert = run.Ledger[1];
        var twice = Judge.Weigh(run with { Ledger = [.. run.Ledger, alert] });
        Assert.Empty(twice.Breaches);
        Assert.Equal((0, 1), (twice.Duplicates, twice.SecondCopies));

        Condemns(run with { Ledger = [.. run.Ledger, alert, alert] }, "I2", duplicates: 1);
        Condemns(run with { Ledger = [.. run.Ledger, alert with { Sha256 = "other" }] }, "I2");
    }

    [Fact]
    public void A_message_that_was_taken_though_its_row_denies_it_is_found()
    {
        var run = Clean();
        var expired = run.Rows[0] with { State = OutboxState.Expired };
        Condemns(
            run with
            {
                Rows = [expired, .. run.Rows.Skip(1)],
                Owed = [run.Owed[0] with { MayEnd = [OutboxState.Expired] }, .. run.Owed.Skip(1)],
            },
            "I2"
        );
    }

    [Fact]
    public void A_message_that_no_row_knows_and_a_row_that_nobody_owed_are_found()
    {
        var run = Clean();
        Condemns(
            run with
            {
                Ledger = [.. run.Ledger, run.Ledger[0] with { MessageId = "stray@example.org" }],
            },
            "I2"
        );
        Condemns(run with { Rows = [.. run.Rows, run.Rows[0] with { Key = "stray" }] }, "I1");
    }

    [Fact]
    public void Someone_elses_canary_or_address_is_a_leak()
    {
        var run = Clean();
        Condemns(
            Taken(
                run,
                run.Ledger[0] with
                {
                    Canaries = [LedgerLine.Canary(1), LedgerLine.Canary(2)],
                }
            ),
            "I3"
        );
        Condemns(Taken(run, run.Ledger[0] with { Canaries = [] }), "I3");
        Condemns(Taken(run, run.Ledger[0] with { Recipient = "r2@example.com" }), "I3");
    }

    [Fact]
    public void A_message_to_who_left_is_found()
    {
        var run = Clean();
        var left = run.Owed[0] with
        {
            LeftAt = Start - Duration.FromMinutes(2),
            MayEnd = [OutboxState.Suppressed, OutboxState.Sent],
        };
        Condemns(run with { Owed = [left, .. run.Owed.Skip(1)] }, "I4");
        Condemns(
            run with
            {
                Owed = [left with { LeftAt = Start }, .. run.Owed.Skip(1)],
                Rows = [run.Rows[0] with { State = OutboxState.Suppressed }, .. run.Rows.Skip(1)],
            },
            "I4"
        );
    }

    [Fact]
    public void A_late_or_early_send_is_found_also_by_a_moved_clock()
    {
        var run = Clean();
        Condemns(Taken(run, run.Ledger[0] with { BegunAt = At(Duration.FromHours(4)) }), "I5");
        Condemns(Taken(run, run.Ledger[0] with { BegunAt = At(Duration.FromHours(-4)) }), "I5");
        Condemns(run with { ClockAhead = _ => Duration.FromHours(9) }, "I5");
    }

    [Fact]
    public void Slow_recovery_and_impolite_retries_are_found()
    {
        var run = Clean();
        Condemns(
            run with
            {
                Recovery = Duration.FromSeconds(61),
                RecoveryAtMost = Duration.FromSeconds(60),
            },
            "I6"
        );
        Condemns(
            run with
            {
                TriesAtMost = 3,
                Tries = new Dictionary<string, int> { ["r1@example.com"] = 4 },
            },
            "I7"
        );
    }

    [Theory]
    [InlineData("Message 5 to r1@example.com is refused", true)]
    [InlineData("<rita.o'hara+lawn@mail.example.net>", true)]
    [InlineData("pässe@bücher.example", true)]
    [InlineData("the password 'hunter2' was refused", true)]
    [InlineData("r***@example.com is refused; write to lawn@example.org", false)]
    [InlineData("worker a@b holds 3 leases", false)]
    public void Addresses_and_secrets_in_the_log_are_found(string line, bool found)
    {
        var breaches = Judge.Weigh(Clean() with { Log = line, Secrets = ["hunter2"] }).Breaches;
        Assert.Equal(found, breaches.Any(b => b.StartsWith("I8", StringComparison.Ordinal)));
    }

    private static Evidence Taken(Evidence run, LedgerLine first) =>
        run with
        {
            Ledger = [first, .. run.Ledger.Skip(1)],
        };

    private static void Condemns(
        Evidence run,
        string promise,
        int? lost = null,
        int? duplicates = null
    )
    {
        var verdict = Judge.Weigh(run);
        Assert.Contains(
            verdict.Breaches,
            b => b.StartsWith(promise + " ", StringComparison.Ordinal)
        );
        Assert.Equal(lost ?? verdict.Lost, verdict.Lost);
        Assert.Equal(duplicates ?? verdict.Duplicates, verdict.Duplicates);
    }

    /// <summary>A morning sent, an alert sent, and a morning of which nobody knows.</summary>
    private static Evidence Clean()
    {
        Owed[] owed =
        [
            Of(1, MessageKind.Morning),
            Of(2, MessageKind.Alert),
            Of(3, MessageKind.Morning),
        ];
        return new()
        {
            Owed = owed,
            Rows =
            [
                Row(owed[0], OutboxState.Sent),
                Row(owed[1], OutboxState.Sent),
                Row(owed[2], OutboxState.Unknown),
            ],
            Ledger = [Line(owed[0]), Line(owed[1])],
        };
    }

    private static Owed Of(long id, MessageKind kind) =>
        new(
            id,
            kind,
            $"key#{id}",
            $"r{id}@example.com",
            LedgerLine.Canary(id),
            Start - Duration.FromHours(1),
            Start + Duration.FromHours(3)
        );

    private static OutboxMessage Row(Owed owed, OutboxState state) =>
        new()
        {
            SubscriberId = owed.SubscriberId,
            Kind = owed.Kind,
            Key = owed.Key,
            Recipient = owed.Recipient,
            EnvelopeSender = "bounces@example.org",
            MessageId = $"{owed.SubscriberId}@example.org",
            NotBefore = owed.NotBefore,
            NotAfter = owed.NotAfter,
            Content = [],
            State = state,
        };

    private static LedgerLine Line(Owed owed) =>
        new(
            At(Duration.FromSeconds(1)),
            At(Duration.Zero),
            $"{owed.SubscriberId}@example.org",
            owed.Recipient,
            "hash",
            [owed.Canary]
        );

    private static DateTimeOffset At(Duration after) => (Start + after).ToDateTimeOffset();
}
