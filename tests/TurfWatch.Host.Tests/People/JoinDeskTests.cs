using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Join;
using Xunit;
using static TurfWatch.Host.Tests.People.PeopleBench;

namespace TurfWatch.Host.Tests.People;

public sealed class JoinDeskTests
{
    [Fact]
    public async Task Join_by_mail_confirm_by_answer()
    {
        await using var bench = await OpenAsync();
        await bench.Answers.DealAsync(
            bench.Mail("85719 bermuda with rye, 3000 sq ft <b>Buy!</b>"),
            Cancel
        );
        var (row, letter) = Assert.Single(await bench.LettersAsync());
        Assert.Equal(MessageKind.Confirmation, row.Kind);
        // Nothing that was typed comes back.
        foreach (var typed in new[] { "85719", "bermuda", "3000", "Buy" })
        {
            Assert.DoesNotContain(typed, letter.ToString(), StringComparison.OrdinalIgnoreCase);
        }

        var who = await bench.Store.Subscribers.FindAsync("ann@example.com", Cancel);
        Assert.Equal(SubscriberStatus.Pending, who!.Subscriber.Status);
        var lawn = Assert.Single(who.Lawns);
        Assert.Equal((GrassKind.Bermuda, GrassKind.AnnualRyegrass), (lawn.Grass, lawn.Overseed));
        Assert.Equal(278.7, lawn.AreaM2!.Value, 1);

        var token = letter.ReplyTo.Mailboxes.Single().Address.Split('+', '@')[1];
        await bench.Answers.DealAsync(bench.Mail("Yes!", token), Cancel);
        who = await bench.Store.Subscribers.FindAsync("ann@example.com", Cancel);
        Assert.Equal(SubscriberStatus.Active, who!.Subscriber.Status);
        var welcome = (await bench.LettersAsync())[^1].Message;
        Assert.Contains(
            "bermudagrass with annual ryegrass",
            welcome.TextBody,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_request_without_a_zip_is_asked_back()
    {
        await using var bench = await OpenAsync();
        await bench.Answers.DealAsync(bench.Mail("please subscribe me"), Cancel);
        var (row, letter) = Assert.Single(await bench.LettersAsync());
        Assert.Equal(MessageKind.Receipt, row.Kind);
        Assert.Contains("ZIP", letter.Subject, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_zip_that_was_asked_back_is_answered_at_once_but_nothing_more_in_that_hour()
    {
        await using var bench = await OpenAsync();
        await bench.Answers.DealAsync(bench.Mail("please subscribe me"), Cancel);
        await bench.Answers.DealAsync(bench.Mail("please!"), Cancel);
        Assert.Single(await bench.LettersAsync());
        await bench.Answers.DealAsync(bench.Mail("85719"), Cancel);
        Assert.Equal(
            [MessageKind.Receipt, MessageKind.Confirmation],
            (await bench.LettersAsync()).Select(l => l.Row.Kind)
        );
        await bench.Answers.DealAsync(bench.Mail("85705"), Cancel);
        await bench.Answers.DealAsync(bench.Mail("please subscribe me"), Cancel);
        Assert.Equal(2, (await bench.LettersAsync()).Count);
    }

    [Theory]
    [InlineData("ok", SubscriberStatus.Active)]
    [InlineData("Sure, thanks", SubscriberStatus.Active)]
    [InlineData("Yep", SubscriberStatus.Active)]
    [InlineData("yes pls", SubscriberStatus.Active)]
    [InlineData("who is this?", SubscriberStatus.Pending)]
    [InlineData("ok, but what is this", SubscriberStatus.Pending)]
    [InlineData("not sure", SubscriberStatus.Pending)]
    public async Task One_word_of_consent_confirms(string answer, SubscriberStatus status)
    {
        await using var bench = await OpenAsync();
        await bench.Answers.DealAsync(bench.Mail("85719"), Cancel);
        var (_, letter) = Assert.Single(await bench.LettersAsync());
        var token = letter.ReplyTo.Mailboxes.Single().Address.Split('+', '@')[1];
        await bench.Answers.DealAsync(bench.Mail(answer, token), Cancel);
        Assert.Equal(
            status,
            (await bench.Store.Subscribers.FindAsync("ann@example.com", Cancel))!.Subscriber.Status
        );
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Letters_ask_for_an_answer_only_where_somebody_reads_it(bool read)
    {
        await using var bench = await OpenAsync(takesAnswers: read);
        var lawn = JoinReader.Read(["85719"])!;
        await bench.Joins.AskAsync("ann@example.com", lawn, "192.0.2.0/24", null, Cancel);
        var who = (await bench.Store.Subscribers.FindAsync("ann@example.com", Cancel))!;
        Assert.True(await bench.Joins.ConfirmAsync(who.Subscriber.Id, null, Cancel));
        bench.Time.Advance(TimeSpan.FromHours(2));
        await bench.Joins.AskAsync("ann@example.com", lawn, "192.0.2.0/24", null, Cancel);
        var letters = await bench.LettersAsync();
        Assert.Equal(3, letters.Count);
        // "Our answer" is the heading of such letters.
        Assert.All(
            letters,
            l =>
                Assert.Equal(
                    read,
                    new[] { "answer this", "answer with", "by answering" }.Any(w =>
                        l.Message.TextBody!.ReplaceLineEndings(" ")
                            .Contains(w, StringComparison.Ordinal)
                    )
                )
        );
        var welcome = Assert.Single(
            letters,
            l => l.Row.Key.StartsWith("welcome", StringComparison.Ordinal)
        );
        Assert.Contains("America/Phoenix", welcome.Message.TextBody!, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Ten_thousand_requests_for_one_address_are_one_message()
    {
        await using var bench = await OpenAsync(new() { PerHour = 1_000_000 });
        var lawn = JoinReader.Read(["85719"])!;
        for (var i = 0; i < 10_000; i++)
        {
            Assert.Equal(
                JoinOutcome.Taken,
                await bench.Joins.AskAsync(
                    $"ann+{i % 7}@example.com",
                    lawn,
                    JoinDesk.ByMail,
                    null,
                    Cancel
                )
            );
        }

        Assert.Single(await bench.LettersAsync());
    }

    [Fact]
    public async Task One_network_cannot_fill_the_list()
    {
        await using var bench = await OpenAsync(new() { PerNetworkHour = 3 });
        var lawn = JoinReader.Read(["85719"])!;
        var outcomes = new List<JoinOutcome>();
        for (var i = 0; i < 5; i++)
        {
            outcomes.Add(
                await bench.Joins.AskAsync($"a{i}@example.com", lawn, "192.0.2.0/24", null, Cancel)
            );
        }

        Assert.Equal(3, outcomes.Count(o => o == JoinOutcome.Taken));
        Assert.Equal(2, outcomes.Count(o => o == JoinOutcome.TooMany));
        bench.Time.Advance(TimeSpan.FromMinutes(61));
        Assert.Equal(
            JoinOutcome.Taken,
            await bench.Joins.AskAsync("z@example.com", lawn, "192.0.2.0/24", null, Cancel)
        );
    }

    [Fact]
    public async Task Closed_doors_and_other_domains_are_refused_but_not_the_invited()
    {
        await using var bench = await OpenAsync(new() { Domains = ["club.example"] });
        var lawn = JoinReader.Read(["85719"])!;
        Assert.Equal(
            JoinOutcome.Closed,
            await bench.Joins.AskAsync("ann@example.com", lawn, JoinDesk.ByMail, null, Cancel)
        );
        Assert.Equal(
            JoinOutcome.Taken,
            await bench.Joins.AskAsync("ann@club.example", lawn, JoinDesk.ByMail, null, Cancel)
        );
        Assert.Equal(
            JoinOutcome.Taken,
            await bench.Joins.AskAsync(
                "guest@example.com",
                lawn,
                JoinDesk.ByMail,
                null,
                Cancel,
                invited: true
            )
        );
    }

    [Fact]
    public async Task An_old_confirmation_confirms_nothing()
    {
        await using var bench = await OpenAsync();
        await bench.Answers.DealAsync(bench.Mail("85719"), Cancel);
        var (_, letter) = Assert.Single(await bench.LettersAsync());
        var token = letter.ReplyTo.Mailboxes.Single().Address.Split('+', '@')[1];
        bench.Time.Advance(TimeSpan.FromHours(74));
        await bench.Answers.DealAsync(bench.Mail("yes", token), Cancel);
        Assert.Equal(
            SubscriberStatus.Pending,
            (await bench.Store.Subscribers.FindAsync("ann@example.com", Cancel))!.Subscriber.Status
        );
    }

    [Theory]
    [InlineData("85719", GrassKind.Bermuda, null)]
    [InlineData("my zip is 10001-1234", GrassKind.KentuckyBluegrass, null)]
    [InlineData("33101 st. augustine", GrassKind.StAugustine, null)]
    [InlineData("72201, fescue 2.5 in, 0.2 acre", GrassKind.TallFescue, null)]
    [InlineData(
        "79912 Bermuda overseeded with perennial ryegrass",
        GrassKind.Bermuda,
        GrassKind.PerennialRyegrass
    )]
    public void What_is_told_of_a_lawn(string text, GrassKind grass, GrassKind? overseed)
    {
        var lawn = JoinReader.Read([text]);
        Assert.Equal((grass, overseed), (lawn!.Grass, lawn.Overseed));
    }

    [Theory]
    [InlineData("hello")]
    [InlineData("00000")]
    [InlineData("call me at 5205551234")]
    [InlineData("order 123456")]
    public void What_names_no_zip(string text) => Assert.Null(JoinReader.Read([text]));
}
