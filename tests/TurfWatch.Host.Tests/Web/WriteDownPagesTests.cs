using System.Net;
using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>The links of messages that write down what was advised: looked at ever so often they do nothing, pressed twice they do it once.</summary>
public sealed class WriteDownPagesTests : PatsLawnRig
{
    private static readonly LocalDate Day = new(2026, 11, 25);

    private protected override Lawn Described =>
        base.Described with
        {
            Overseed = GrassKind.PerennialRyegrass,
            Name = "<b>Front</b>",
            AreaM2 = null,
        };

    [Fact]
    public async Task Fifty_looks_write_nothing_and_say_the_line_that_one_button_writes()
    {
        var link = Link(new(JournalKind.Mowed, Day, 6.35));
        for (var i = 0; i < 50; i++)
        {
            var html = await _rig.Http.GetStringAsync(link, Cancel);
            using var head = await _rig.Http.SendAsync(new(HttpMethod.Head, link), Cancel);
            Assert.Equal(HttpStatusCode.OK, head.StatusCode);
            Assert.Contains("Mowed at 2.5&#160;inches, today.", html, StringComparison.Ordinal);
            Assert.Single(Regex.Matches(html, "<button"));
            Assert.DoesNotContain("<script", html, StringComparison.Ordinal);
            Assert.DoesNotContain("<b>Front", html, StringComparison.Ordinal);
        }

        Assert.Empty(await JournalAsync());
        Assert.Empty(await ReceiptsAsync());

        Assert.Contains("/undo/", await PressAsync(link), StringComparison.Ordinal);
        var again = await PressAsync(link);
        Assert.Contains("It is written down", again, StringComparison.Ordinal);
        Assert.DoesNotContain("/undo/", again, StringComparison.Ordinal);
        Assert.Contains(
            "It is written down",
            await _rig.Http.GetStringAsync(link, Cancel),
            StringComparison.Ordinal
        );
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal((JournalKind.Mowed, Day, 6.35), (entry.Kind, entry.Date, entry.Amount!.Value));
        Assert.Single(await ReceiptsAsync());
    }

    [Fact]
    public async Task Clicked_late_it_is_written_for_the_day_of_the_message_unless_another_is_chosen()
    {
        _clock.Advance(TimeSpan.FromDays(3));
        var mowed = Link(new(JournalKind.Mowed, Day, 5));
        var html = await _rig.Http.GetStringAsync(mowed, Cancel);
        Assert.Contains("The message is of Wednesday, Nov 25", html, StringComparison.Ordinal);
        Assert.Equal(3, Regex.Count(html, "href=\"\\?day=2026-11-2[678]\""));
        await PressAsync(mowed);
        Assert.Equal(Day, Assert.Single(await JournalAsync()).Date);

        var fed = Link(new(JournalKind.Fed, Day, 2.44));
        Assert.Contains(
            "nitrogen, Friday, Nov 27",
            await _rig.Http.GetStringAsync(fed + "?day=2026-11-27", Cancel),
            StringComparison.Ordinal
        );
        await PressAsync(fed + "?day=2026-11-27");
        // The link has done its work, whatever the day.
        Assert.Contains("has been used", await PressAsync(fed), StringComparison.Ordinal);
        Assert.Equal(
            new LocalDate(2026, 11, 27),
            Assert.Single(await JournalAsync(), e => e.Kind == JournalKind.Fed).Date
        );
    }

    [Theory]
    [InlineData("2026-11-24")]
    [InlineData("2026-11-26")]
    [InlineData("yesterday")]
    [InlineData("")]
    public async Task No_day_before_the_message_or_to_come_can_be_chosen(string day)
    {
        var link = Link(new(JournalKind.Mowed, Day, 5)) + $"?day={day}";
        using var looked = await _rig.Http.GetAsync(link, Cancel);
        using var pressed = await _rig.Http.PostAsync(link, null, Cancel);
        Assert.Equal(HttpStatusCode.NotFound, looked.StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, pressed.StatusCode);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task A_feeding_is_written_as_advised_with_the_grade_at_hand()
    {
        // 2.44 g/m² of nitrogen in 16-4-8 are 15.25 g/m² of product: 0.61 of phosphate, 1.22 of potash, by the label's percentages.
        await PressAsync(Link(new(JournalKind.Fed, Day, 2.44) { Grade = new(16, 4, 8) }));
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal(2.44, entry.Amount!.Value, 6);
        Assert.Equal(0.61, entry.PhosphateGM2!.Value, 6);
        Assert.Equal(1.22, entry.PotashGM2!.Value, 6);
    }

    [Theory]
    [InlineData(JournalKind.Watered, 12.7, "Watered 0.50 inch", "for one watering")]
    [InlineData(JournalKind.MowingSkipped, null, "Skipped a mowing", "ask for it again for 3 days")]
    public async Task A_watering_and_a_mowing_left_out_are_written_once_and_can_be_taken_back(
        JournalKind kind,
        double? amount,
        string line,
        string assumed
    )
    {
        var link = Link(new(kind, Day, amount));
        var looked = WebUtility.HtmlDecode(await _rig.Http.GetStringAsync(link, Cancel));
        Assert.Contains(line, looked.Replace('\u00A0', ' '), StringComparison.Ordinal);
        Assert.Contains(assumed, looked, StringComparison.Ordinal);
        Assert.Single(Regex.Matches(looked, "<button"));
        Assert.Empty(await JournalAsync());

        var done = await PressAsync(link);
        await PressAsync(link);
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal((kind, Day, amount), (entry.Kind, entry.Date, entry.Amount));
        Assert.Single(await ReceiptsAsync());

        await UndoAsync(done);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task A_sowing_is_written_with_its_grass()
    {
        await PressAsync(
            Link(new(JournalKind.Seeded, Day, 48.8) { Grass = GrassKind.PerennialRyegrass })
        );
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal((48.8, GrassKind.PerennialRyegrass), (entry.Amount, entry.Grass));
    }

    [Fact]
    public async Task What_the_journal_has_already_is_said_before_the_button_and_not_doubled()
    {
        await _rig.Store.Journal.AddAsync(
            _pat.Lawns[0].Id,
            new(0, JournalKind.Fed, Day.PlusDays(-2), 2.44),
            Cancel
        );
        await _rig.Store.Journal.AddAsync(
            _pat.Lawns[0].Id,
            new(0, JournalKind.Mowed, Day, 5),
            Cancel
        );
        Assert.Contains(
            "The journal has already:</strong> Fed",
            await _rig.Http.GetStringAsync(Link(new(JournalKind.Fed, Day, 2.44)), Cancel),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "It is written down",
            await PressAsync(Link(new(JournalKind.Mowed, Day, 6.35))),
            StringComparison.Ordinal
        );
        Assert.Equal(2, (await JournalAsync()).Count);
    }

    [Fact]
    public async Task What_was_taken_back_is_not_written_again_by_the_same_link()
    {
        var link = Link(new(JournalKind.Mowed, Day, 5));
        var done = await PressAsync(link);
        await UndoAsync(done);
        Assert.Empty(await JournalAsync());
        Assert.Contains("has been used", await PressAsync(link), StringComparison.Ordinal);
        Assert.Empty(await JournalAsync());
    }

    [Fact]
    public async Task A_link_that_is_too_old_or_for_something_else_opens_nothing()
    {
        var lawn = _pat.Lawns[0].Id;
        var offer = new DeedOffer(JournalKind.Mowed, Day, 5);
        foreach (
            var token in new[]
            {
                _rig.Tokens.Issue(offer, lawn, Start),
                _rig.Tokens.Issue(offer, 999, Start + Duration.FromDays(1)),
                _rig.Tokens.Issue(LinkPurpose.LawnPage, lawn),
                _rig.Tokens.Issue(LinkPurpose.WriteDown, lawn),
                _rig.Tokens.ReplyTokenFor(lawn, Start),
            }
        )
        {
            using var looked = await _rig.Http.GetAsync($"/done/{token}", Cancel);
            using var pressed = await _rig.Http.PostAsync($"/done/{token}", null, Cancel);
            Assert.Equal(HttpStatusCode.NotFound, looked.StatusCode);
            Assert.Equal(HttpStatusCode.NotFound, pressed.StatusCode);
        }

        Assert.Empty(await JournalAsync());
    }

    private string Link(DeedOffer offer) =>
        $"/done/{_rig.Tokens.Issue(offer, _pat.Lawns[0].Id, Start + Duration.FromDays(14))}";

    private async Task<string> PressAsync(string link)
    {
        using var answer = await _rig.Http.PostAsync(link, null, Cancel);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return await answer.Content.ReadAsStringAsync(Cancel);
    }

    private async Task<List<OutboxMessage>> ReceiptsAsync()
    {
        var rows = new List<OutboxMessage>();
        await foreach (var row in _rig.Store.Outbox.ListAsync(Cancel))
        {
            if (row.Kind == MessageKind.Receipt)
            {
                rows.Add(row);
            }
        }

        return rows;
    }
}
