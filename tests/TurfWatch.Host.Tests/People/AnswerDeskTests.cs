using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using Xunit;
using static TurfWatch.Host.Tests.People.PeopleBench;

namespace TurfWatch.Host.Tests.People;

public sealed class AnswerDeskTests
{
    private static readonly LocalDate Today = new(2026, 11, 25);

    [Fact]
    public async Task A_message_of_three_months_ago_is_answered_in_vain_and_its_reader_is_told_how_to_go_on()
    {
        await using var bench = await PeopleBench.OpenAsync();
        var who = await bench.SubscribeAsync();
        var lawn = who.Lawns[0];
        var old = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        bench.Time.Advance(TimeSpan.FromDays(90));
        await bench.Answers.DealAsync(bench.Mail("mowed 2 in", old), PeopleBench.Cancel);
        Assert.Single((await bench.Store.Journal.LoadAsync(lawn.Id, PeopleBench.Cancel)).Entries);

        bench.Time.Advance(TimeSpan.FromDays(1));
        // Whoever has it by now: the letter goes to the owner.
        var mail = bench.Mail("set height 3in\nmowed 2 in", old, "eve@example.net");
        await bench.Answers.DealAsync(mail, PeopleBench.Cancel);
        Assert.Single((await bench.Store.Journal.LoadAsync(lawn.Id, PeopleBench.Cancel)).Entries);
        Assert.Null(
            (await bench.Store.Lawns.FindAsync(lawn.Id, PeopleBench.Cancel))!.Lawn.MowingHeightCm
        );
        var (row, letter) = (await bench.LettersAsync())[^1];
        Assert.Equal("ann@example.com", row.Recipient);
        Assert.Contains("too old", letter.Subject, StringComparison.Ordinal);
        Assert.Contains("Answer this letter", letter.TextBody, StringComparison.Ordinal);

        // Its own address is good again; and stop is heard at any age.
        var fresh = letter.ReplyTo.Mailboxes.Single().Address.Split('+', '@')[1];
        await bench.Answers.DealAsync(bench.Mail("mowed 2.5 in", fresh), PeopleBench.Cancel);
        Assert.Equal(
            2,
            (await bench.Store.Journal.LoadAsync(lawn.Id, PeopleBench.Cancel)).Entries.Length
        );
        bench.Time.Advance(TimeSpan.FromDays(2000));
        await bench.Answers.DealAsync(bench.Mail("stop", old), PeopleBench.Cancel);
        Assert.Equal(
            SubscriberStatus.Left,
            (await bench.Store.Subscribers.FindAsync("ann@example.com", PeopleBench.Cancel))!
                .Subscriber
                .Status
        );
    }

    [Fact]
    public async Task What_was_done_is_in_the_journal_and_the_receipt_says_so_once()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        var lawn = who.Lawns[0];
        var mail = bench.Mail(
            "mowed 2 in\nfed 5 lb 21-0-0 yesterday",
            bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now)
        );
        await bench.Answers.DealAsync(mail, Cancel);
        await bench.Answers.DealAsync(mail, Cancel);

        var entries = (await bench.Store.Journal.LoadAsync(lawn.Id, Cancel)).Entries;
        Assert.Equal(2, entries.Length);
        var fed = entries.Single(e => e.Kind == JournalKind.Fed);
        Assert.Equal(Today.PlusDays(-1), fed.Date);
        // 5 lb of 21 % on 3,000 sq ft: 0.35 lb N per 1,000 sq ft, 1.709 g/m² (exact arithmetic).
        Assert.Equal(5 * 453.59237 * 0.21 / 278.70912, fed.Amount!.Value, 6);
        var (row, letter) = Assert.Single(await bench.LettersAsync());
        Assert.Equal(MessageKind.Receipt, row.Kind);
        Assert.Equal(mail.MessageId, letter.InReplyTo);
        Assert.Equal("", row.EnvelopeSender);
        Assert.Contains("Mowed at 2", letter.TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Undo_takes_the_last_answer_back()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        await bench.Answers.DealAsync(bench.Mail("set height 3in", token), Cancel);
        bench.Time.Advance(TimeSpan.FromMinutes(1));
        await bench.Answers.DealAsync(bench.Mail("mowed 3 in", token), Cancel);
        await bench.Answers.DealAsync(bench.Mail("undo", token), Cancel);
        Assert.Empty((await bench.Store.Journal.LoadAsync(lawn.Id, Cancel)).Entries);
        Assert.Equal(
            7.62,
            (await bench.Store.Lawns.FindAsync(lawn.Id, Cancel))!.Lawn.MowingHeightCm!.Value,
            6
        );
    }

    [Fact]
    public async Task A_setting_that_cannot_be_is_answered_with_the_reason_and_nothing_changes()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        await bench.Answers.DealAsync(
            bench.Mail("set height 40in", bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now)),
            Cancel
        );
        Assert.Null((await bench.Store.Lawns.FindAsync(lawn.Id, Cancel))!.Lawn.MowingHeightCm);
        var (_, letter) = Assert.Single(await bench.LettersAsync());
        Assert.Contains("height is '40in'", letter.TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Stop_works_from_anywhere_and_the_goodbye_can_bring_it_all_back()
    {
        await using var bench = await OpenAsync();
        var who = (await bench.SubscribeAsync()).Subscriber;
        await bench.Answers.DealAsync(bench.Mail("STOP"), Cancel);
        Assert.Equal(SubscriberStatus.Left, await StatusAsync(bench));
        var (row, letter) = Assert.Single(await bench.LettersAsync());
        Assert.Equal((MessageKind.Receipt, who.Id), (row.Kind, row.SubscriberId));
        Assert.Contains("/rejoin/", letter.TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Saying_yes_to_the_goodbye_brings_nobody_back_but_resume_does()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        await bench.Answers.DealAsync(bench.Mail("stop", token), Cancel);
        await bench.Answers.DealAsync(bench.Mail("Yes, it was me.", token), Cancel);
        Assert.Equal(SubscriberStatus.Left, await StatusAsync(bench));
        await bench.Answers.DealAsync(bench.Mail("resume", token), Cancel);
        Assert.Equal(SubscriberStatus.Active, await StatusAsync(bench));
    }

    [Fact]
    public async Task What_is_set_can_be_unset_by_answer()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        await bench.Answers.DealAsync(
            bench.Mail("set overseed rye\nset height 2\nset irrigated yes", token),
            Cancel
        );
        var set = (await bench.Store.Lawns.FindAsync(lawn.Id, Cancel))!.Lawn;
        Assert.Equal((GrassKind.AnnualRyegrass, true), (set.Overseed, set.Irrigated));
        Assert.Equal(5.08, set.MowingHeightCm!.Value, 6);
        await bench.Answers.DealAsync(
            bench.Mail("set overseed none\nset height none\nset irrigated no", token),
            Cancel
        );
        var unset = (await bench.Store.Lawns.FindAsync(lawn.Id, Cancel))!.Lawn;
        Assert.Equal((null, false), (unset.Overseed, unset.Irrigated));
        Assert.Null(unset.MowingHeightCm);
    }

    [Fact]
    public async Task Stop_in_what_is_quoted_stops_nothing()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        await bench.Answers.DealAsync(
            bench.Mail("mowed\n\n> STOP", bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now)),
            Cancel
        );
        Assert.Equal(SubscriberStatus.Active, await StatusAsync(bench));
    }

    [Fact]
    public async Task A_forged_token_changes_nothing()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        var forged = token[..^1] + (token[^1] == 'a' ? 'b' : 'a');
        await bench.Answers.DealAsync(bench.Mail("mowed 2 in", forged, "eve@example.net"), Cancel);
        Assert.Empty((await bench.Store.Journal.LoadAsync(lawn.Id, Cancel)).Entries);
    }

    [Fact]
    public async Task A_robot_gets_no_answer_and_no_one_gets_more_than_five_a_day()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        await bench.Answers.DealAsync(
            bench.Mail("mowed", token) with
            {
                Kind = InboundKind.Robot,
            },
            Cancel
        );
        Assert.Empty(await bench.LettersAsync());
        for (var i = 0; i < 8; i++)
        {
            await bench.Answers.DealAsync(bench.Mail("help", token), Cancel);
        }

        Assert.Equal(5, (await bench.LettersAsync()).Count);
    }

    [Fact]
    public async Task A_pause_holds_and_resume_ends_it()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        await bench.Answers.DealAsync(bench.Mail("pause until jan 10", token), Cancel);
        Assert.Equal(
            new LocalDate(2027, 1, 10),
            (await bench.Store.Lawns.FindAsync(lawn.Id, Cancel))!.PausedUntil
        );
        await bench.Answers.DealAsync(bench.Mail("resume", token), Cancel);
        var until = (await bench.Store.Lawns.FindAsync(lawn.Id, Cancel))!.PausedUntil;
        Assert.True(until is null || until <= Today);
    }

    [Fact]
    public async Task Two_days_of_hard_bounces_end_it_and_one_does_not()
    {
        await using var bench = await OpenAsync();
        var who = (await bench.SubscribeAsync()).Subscriber;
        var token = bench.Tokens.BounceToken(who.Id, MessageKind.Morning, "k");
        await BounceAsync();
        await BounceAsync();
        Assert.Equal(SubscriberStatus.Active, await StatusAsync(bench));
        bench.Time.Advance(TimeSpan.FromDays(1));
        await BounceAsync();
        Assert.Equal(SubscriberStatus.Suppressed, await StatusAsync(bench));

        Task BounceAsync() =>
            bench.Answers.DealAsync(
                bench.Mail("") with
                {
                    Kind = InboundKind.Bounce,
                    Bounce = new(token, "5.1.1", Permanent: true),
                },
                Cancel
            );
    }

    [Fact]
    public async Task As_advised_without_advice_is_not_written_down()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        await bench.Answers.DealAsync(
            bench.Mail("fed as advised", bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now)),
            Cancel
        );
        Assert.Empty((await bench.Store.Journal.LoadAsync(lawn.Id, Cancel)).Entries);
    }

    private static async Task<SubscriberStatus> StatusAsync(PeopleBench bench) =>
        (await bench.Store.Subscribers.FindAsync("ann@example.com", Cancel))!.Subscriber.Status;
}
