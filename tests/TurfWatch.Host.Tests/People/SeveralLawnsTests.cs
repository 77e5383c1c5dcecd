using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Join;
using Xunit;
using static TurfWatch.Host.Tests.People.PeopleBench;

namespace TurfWatch.Host.Tests.People;

/// <summary>One address, several lawns: each line of an answer goes to the lawn it means, and none to two.</summary>
public sealed class SeveralLawnsTests
{
    private static readonly Place Tucson = new(
        "85719",
        "Tucson",
        "AZ",
        32.25,
        -110.95,
        "America/Phoenix"
    );
    private static readonly Place Lexington = new(
        "40502",
        "Lexington",
        "KY",
        38.02,
        -84.48,
        "America/New_York"
    );

    [Theory]
    [InlineData("mowed 2 in", "Front: mowed 2 in")]
    [InlineData("front mowed 2 in", "Front: mowed 2 in")]
    [InlineData("back lawn mowed 2 in", "Back: mowed 2 in")]
    [InlineData("mowed the back 2 in", "Back: mowed 2 in")]
    [InlineData("Back: mowed 2 in", "Back: mowed 2 in")]
    [InlineData("40502 mowed 3 in", "Cabin: mowed 3 in")]
    [InlineData("40502-1234: mowed 3 in", "Cabin: mowed 3 in")]
    [InlineData("mowed 3 in at 40502", "Cabin: mowed 3 in")]
    [InlineData("cabin fed as advised; mowed 2 in", "Cabin: fed as advised | mowed 2 in")]
    [InlineData("front mowed 2 in; back mowed 3 in", "Front: mowed 2 in / Back: mowed 3 in")]
    [InlineData("alerts back on", "Back: alerts on")]
    [InlineData("set area 12000 sqft", "Front: set area 12000 sqft")]
    [InlineData("add 40503 fescue called front two", "Front: add 40503 fescue called front two")]
    public void A_line_is_about_the_lawn_it_names(string line, string split) =>
        Assert.Equal(split, Told(LawnsNamed.Of([line], Lawns, Lawns[0])));

    [Fact]
    public void A_name_alone_holds_for_the_lines_below_it() =>
        Assert.Equal(
            "Front: watered / Cabin: mowed 3 in | fed as advised",
            Told(
                LawnsNamed.Of(["watered", "Cabin", "mowed 3 in", "fed as advised"], Lawns, Lawns[0])
            )
        );

    [Theory]
    [InlineData("85719 mowed 2 in", "more than one")]
    [InlineData("90210 mowed 2 in", "no lawn in 90210")]
    [InlineData("40502 front mowed 2 in", "not of one lawn")]
    public void What_fits_two_or_none_is_asked_back_and_done_to_neither(string line, string why)
    {
        var parts = LawnsNamed.Of([line], Lawns, Lawns[0]);
        Assert.All(parts, p => Assert.Empty(p.Lines));
        var unclear = Assert.Single(parts.SelectMany(p => p.Unclear));
        Assert.Contains(why, unclear.Why, StringComparison.Ordinal);
        Assert.Contains("Cabin (40502)", unclear.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void One_lawn_needs_no_name_and_may_have_its_ZIP_code()
    {
        ImmutableArray<Lawn> one = [Lawns[2]];
        Assert.Equal("Cabin: mowed 2 in", Told(LawnsNamed.Of(["mowed 2 in"], one, one[0])));
        Assert.Equal("Cabin: mowed 2 in", Told(LawnsNamed.Of(["40502 mowed 2 in"], one, one[0])));
    }

    [Fact]
    public void A_lawn_called_by_a_word_of_the_answers_is_not_heard_in_it()
    {
        ImmutableArray<Lawn> lawns =
        [
            Lawns[0],
            Lawns[2] with
            {
                Name = "Water",
            },
            Lawns[1] with
            {
                Name = "Rye lawn",
                Id = 9,
            },
        ];
        Assert.Equal(
            "Front: water 20 min | seeded 10 lb rye",
            Told(LawnsNamed.Of(["water 20 min", "seeded 10 lb rye"], lawns, lawns[0]))
        );
    }

    [Fact]
    public async Task A_second_lawn_joins_by_an_answer_and_its_journal_is_its_own_and_one_undo_takes_both_back()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        var token = bench.Tokens.ReplyTokenFor(who.Lawns[0].Id, bench.Now);
        await bench.Answers.DealAsync(
            bench.Mail("add 40502 tall fescue, 3000 sq ft, called cabin", token),
            Cancel
        );
        var lawns = (await bench.Store.Subscribers.OfAsync(who.Subscriber.Id, Cancel))!.Lawns;
        var cabin = Assert.Single(lawns, l => l.Place.Zip == "40502");
        Assert.Equal(("cabin", GrassKind.TallFescue), (cabin.Name, cabin.Grass));
        Assert.Equal("America/New_York", cabin.Place.ZoneId);

        bench.Time.Advance(TimeSpan.FromMinutes(1));
        await bench.Answers.DealAsync(bench.Mail("mowed 2 in\ncabin mowed 3 in", token), Cancel);
        Assert.Equal([5.08], await HeightsAsync(bench, who.Lawns[0].Id));
        Assert.Equal([7.62], await HeightsAsync(bench, cabin.Id));
        var receipt = (await bench.LettersAsync())[^1].Message.TextBody;
        Assert.Contains("cabin: Mowed at 3 in", receipt, StringComparison.Ordinal);
        Assert.Contains("Lawn: Mowed at 2 in", receipt, StringComparison.Ordinal);

        bench.Time.Advance(TimeSpan.FromMinutes(1));
        await bench.Answers.DealAsync(bench.Mail("undo", token), Cancel);
        Assert.Empty(await HeightsAsync(bench, who.Lawns[0].Id));
        Assert.Empty(await HeightsAsync(bench, cabin.Id));
        bench.Time.Advance(TimeSpan.FromMinutes(1));
        await bench.Answers.DealAsync(bench.Mail("undo", token), Cancel);
        Assert.Single((await bench.Store.Subscribers.OfAsync(who.Subscriber.Id, Cancel))!.Lawns);
    }

    [Fact]
    public async Task Undo_read_twice_takes_one_deed_back()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        foreach (var line in new[] { "mowed 2 in yesterday", "mowed 3 in" })
        {
            await bench.Answers.DealAsync(bench.Mail(line, token), Cancel);
            bench.Time.Advance(TimeSpan.FromMinutes(1));
        }

        var undo = bench.Mail("undo", token);
        await bench.Answers.DealAsync(undo, Cancel);
        await bench.Answers.DealAsync(undo, Cancel);
        Assert.Equal([5.08], await HeightsAsync(bench, lawn.Id));
    }

    [Fact]
    public async Task Undo_finds_what_was_done_past_answers_that_did_nothing()
    {
        await using var bench = await OpenAsync();
        var lawn = (await bench.SubscribeAsync()).Lawns[0];
        var token = bench.Tokens.ReplyTokenFor(lawn.Id, bench.Now);
        foreach (var line in new[] { "mowed 2 in", "help", "what is this", "undo" })
        {
            await bench.Answers.DealAsync(bench.Mail(line, token), Cancel);
            bench.Time.Advance(TimeSpan.FromMinutes(1));
        }

        Assert.Empty(await HeightsAsync(bench, lawn.Id));
    }

    [Fact]
    public async Task Whoever_only_writes_from_an_address_adds_no_lawn_to_it_and_changes_none()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        foreach (
            var forged in new[]
            {
                "40502 tall fescue",
                "add 40502 tall fescue",
                "85719 mowed 2 in",
                "no morning",
                "set height 3in",
            }
        )
        {
            // Neither without a token nor with one that is not ours.
            await bench.Answers.DealAsync(bench.Mail(forged), Cancel);
            await bench.Answers.DealAsync(
                bench.Mail(forged, "raaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"),
                Cancel
            );
        }

        var after = (await bench.Store.Subscribers.OfAsync(who.Subscriber.Id, Cancel))!;
        var lawn = Assert.Single(after.Lawns);
        Assert.Equal((who.Lawns[0].Place, true), (lawn.Place, lawn.Morning));
        Assert.Null(lawn.MowingHeightCm);
        Assert.Empty(await HeightsAsync(bench, lawn.Id));
        // One letter an hour goes to the mailbox itself, and says how it is done.
        var letter = Assert.Single(await bench.LettersAsync()).Message;
        Assert.Contains("on the list already", letter.Subject, StringComparison.Ordinal);
        Assert.Contains("add 40502", letter.TextBody, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_has_so_many_lawns_and_no_more_and_each_a_name_of_its_own()
    {
        await using var bench = await OpenAsync();
        var who = await bench.SubscribeAsync();
        var token = bench.Tokens.ReplyTokenFor(who.Lawns[0].Id, bench.Now);
        for (var i = 0; i < 12; i++)
        {
            await bench.Answers.DealAsync(bench.Mail("add 40502 tall fescue", token), Cancel);
            bench.Time.Advance(TimeSpan.FromMinutes(1));
        }

        var lawns = (await bench.Store.Subscribers.OfAsync(who.Subscriber.Id, Cancel))!.Lawns;
        Assert.Equal(10, lawns.Length);
        Assert.Equal(10, lawns.Select(l => l.Name).Distinct(StringComparer.Ordinal).Count());
    }

    private static ImmutableArray<Lawn> Lawns { get; } =
    [
        new()
        {
            Id = 1,
            Name = "Front",
            Place = Tucson,
            Grass = GrassKind.Bermuda,
        },
        new()
        {
            Id = 2,
            Name = "Back",
            Place = Tucson,
            Grass = GrassKind.Bermuda,
        },
        new()
        {
            Id = 3,
            Name = "Cabin",
            Place = Lexington,
            Grass = GrassKind.TallFescue,
        },
    ];

    private static string Told(ImmutableArray<LawnLines> parts) =>
        string.Join(
            " / ",
            parts
                .Where(p => p.Lines.Length > 0)
                .Select(p => $"{p.Lawn.Name}: {string.Join(" | ", p.Lines)}")
        );

    private static async Task<IEnumerable<double>> HeightsAsync(PeopleBench bench, long lawn) =>
        (await bench.Store.Journal.LoadAsync(lawn, Cancel)).Entries.Select(e =>
            Math.Round(e.Amount!.Value, 6)
        );
}
