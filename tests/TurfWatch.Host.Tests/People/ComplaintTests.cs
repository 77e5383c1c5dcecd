using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Join;
using Xunit;
using static TurfWatch.Host.Tests.People.PeopleBench;

namespace TurfWatch.Host.Tests.People;

/// <summary>Whoever calls our mail unwanted gets none, at once and for good; nobody can say it for another.</summary>
public sealed class ComplaintTests
{
    [Fact]
    public async Task A_complaint_about_our_message_ends_all_mail_at_once_without_a_goodbye()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        await bench.Store.Outbox.EnqueueAsync([Waiting(bench, who.Subscriber)], Cancel);
        var token = bench.Tokens.BounceToken(who.Subscriber.Id, MessageKind.Morning, "k");

        var told = await bench.Answers.DealAsync(Complaint(bench, token, null), Cancel);
        await bench.Answers.DealAsync(Complaint(bench, token, null), Cancel);

        Assert.DoesNotContain("example.com", told, StringComparison.Ordinal);
        Assert.Equal(SubscriberStatus.Suppressed, await StatusAsync(bench, who.Subscriber.Id));
        Assert.Empty(await bench.LettersAsync());
        // Nor is the address written to again, whoever asks.
        await bench.Joins.AskAsync(
            who.Subscriber.Email,
            who.Lawns[0],
            JoinDesk.ByMail,
            null,
            Cancel
        );
        Assert.Empty(await bench.LettersAsync());
        await bench.Store.Dossiers.EraseAsync(who.Subscriber.Id, default, default, null, Cancel);
        await bench.Joins.AskAsync(
            who.Subscriber.Email,
            who.Lawns[0],
            JoinDesk.ByMail,
            null,
            Cancel
        );
        Assert.Empty(await bench.LettersAsync());
    }

    [Fact]
    public async Task The_address_to_leave_by_alone_takes_the_reader_off_the_list_and_no_further()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        var leave = bench.Tokens.LeaveTokenFor(who.Subscriber.Id);
        await bench.Answers.DealAsync(Complaint(bench, null, leave), Cancel);
        Assert.Equal(SubscriberStatus.Left, await StatusAsync(bench, who.Subscriber.Id));
        Assert.Empty(await bench.LettersAsync());
        Assert.False(
            await bench.Store.Suppressions.HoldsAsync(
                bench.Joins.HashOf(who.Subscriber.Email),
                Cancel
            )
        );
    }

    [Fact]
    public async Task Complaints_without_a_key_of_ours_do_nothing_and_are_told_apart()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        var id = who.Subscriber.Id;
        var forged = bench.Tokens.BounceToken(id, MessageKind.Morning, "k");
        string?[] tokens =
        [
            null,
            "",
            "b",
            forged[..^1] + (forged[^1] == 'a' ? 'b' : 'a'),
            bench.Tokens.ReplyTokenFor(id, bench.Now),
            bench.Tokens.ConfirmTokenFor(id, bench.Now + Duration.FromHours(1)),
        ];
        foreach (var token in tokens)
        {
            Assert.Equal(
                "a complaint about no message of ours",
                await bench.Answers.DealAsync(Complaint(bench, token, token), Cancel)
            );
        }

        Assert.Equal(SubscriberStatus.Active, await StatusAsync(bench, id));
    }

    private static InboundMail Complaint(PeopleBench bench, string? returned, string? leave) =>
        bench.Mail("") with
        {
            Kind = InboundKind.Complaint,
            Complaint = new("abuse", returned, leave),
        };

    private static OutboxMessage Waiting(PeopleBench bench, Subscriber who) =>
        new()
        {
            SubscriberId = who.Id,
            Kind = MessageKind.Morning,
            Key = "k",
            Recipient = who.Email,
            EnvelopeSender = "",
            MessageId = "k@example.org",
            NotBefore = bench.Now,
            NotAfter = bench.Now + Duration.FromHours(1),
            Content = [1],
        };

    private static async Task<SubscriberStatus> StatusAsync(PeopleBench bench, long id) =>
        (await bench.Store.Subscribers.OfAsync(id, Cancel))!.Subscriber.Status;
}
