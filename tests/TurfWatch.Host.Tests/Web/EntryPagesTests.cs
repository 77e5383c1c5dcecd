using System.Net;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>A line of the journal that is corrected in place: replaced in one deed, by the rules of an answer, and it can be taken back.</summary>
public sealed class EntryPagesTests : PatsLawnRig
{
    public static TheoryData<JournalEntry, UnitSystem> Lines
    {
        get
        {
            var day = new LocalDate(2026, 11, 20);
            var data = new TheoryData<JournalEntry, UnitSystem>();
            foreach (var units in Enum.GetValues<UnitSystem>())
            {
                data.Add(new(0, JournalKind.Mowed, day, 6.35), units);
                data.Add(new(0, JournalKind.Mowed, day, null), units);
                data.Add(new(0, JournalKind.Fed, day, 4.5), units);
                data.Add(
                    new(0, JournalKind.Seeded, day, 40) { Grass = GrassKind.PerennialRyegrass },
                    units
                );
                data.Add(
                    new(0, JournalKind.Seeded, day, null) { Grass = GrassKind.FineFescue },
                    units
                );
                data.Add(new(0, JournalKind.Watered, day, 12.7), units);
                data.Add(new(0, JournalKind.SoilMeasured, day, 16.1, new LocalTime(7, 30)), units);
                data.Add(new(0, JournalKind.Germinated, day, null), units);
                data.Add(new(0, JournalKind.PreEmergent, day, null), units);
                data.Add(new(0, JournalKind.Aerated, day, null), units);
                data.Add(new(0, JournalKind.Dethatched, day, null), units);
                data.Add(new(0, JournalKind.MowingSkipped, day, null), units);
            }

            return data;
        }
    }

    [Fact]
    public void Every_kind_can_be_chosen() =>
        Assert.Equal(
            Enum.GetValues<JournalKind>().Order(),
            EntryWords.Kinds.Select(k => k.Kind).Order()
        );

    [Theory]
    [MemberData(nameof(Lines))]
    public void A_line_in_words_is_read_back_as_it_was(JournalEntry entry, UnitSystem units)
    {
        var line = $"{EntryWords.Verb(entry.Kind)} {EntryWords.Amount(entry, units)} 2026-11-20";
        var now = new LocalDateTime(2026, 11, 25, 8, 0);
        var read = Assert.IsType<Did>(Assert.Single(AnswerReader.Read([line], now, units)));
        Assert.Equal(
            (entry.Kind, entry.Date, entry.Grass, entry.Time),
            (read.Kind, read.Date, read.Grass, read.Time)
        );
        // To the three decimals that the words have, in either unit.
        Assert.Equal(entry.Amount ?? double.NaN, read.Amount ?? double.NaN, 0.005);
    }

    [Fact]
    public async Task The_old_line_goes_and_the_new_one_comes_and_both_are_taken_back_at_once()
    {
        var old = await AddAsync(new(0, JournalKind.Mowed, new(2026, 11, 20), 5));
        var done = await PostAsync(
            old,
            ("kind", "mowed"),
            ("amount", "2.5 in"),
            ("day", "2026-11-21")
        );
        Assert.Contains("Before: Mowed at 2", done.Html, StringComparison.Ordinal);
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal(
            (new LocalDate(2026, 11, 21), 6.35),
            (entry.Date, Math.Round(entry.Amount!.Value, 6))
        );

        await UndoAsync(done.Html);
        entry = Assert.Single(await JournalAsync());
        Assert.Equal((new LocalDate(2026, 11, 20), 5.0), (entry.Date, entry.Amount!.Value));
    }

    [Fact]
    public async Task Another_day_alone_leaves_the_number_and_what_else_the_line_knows()
    {
        var old = await AddAsync(
            new(0, JournalKind.Fed, new(2026, 11, 20), 1.23456789)
            {
                PhosphateGM2 = 0.5,
                PotashGM2 = 0.7,
            }
        );
        await PostAsync(
            old,
            ("kind", "fed"),
            ("amount", EntryWords.Amount(old, UnitSystem.UsCustomary)),
            ("day", "2026-11-19")
        );
        var entry = Assert.Single(await JournalAsync());
        Assert.Equal((new LocalDate(2026, 11, 19), 1.23456789), (entry.Date, entry.Amount));
        Assert.Equal((0.5, 0.7), (entry.PhosphateGM2, entry.PotashGM2));
    }

    [Fact]
    public async Task Another_kind_is_read_as_that_kind()
    {
        var old = await AddAsync(new(0, JournalKind.Mowed, new(2026, 11, 20), 5));
        await PostAsync(old, ("kind", "fed"), ("amount", "5 lb 21-0-0"), ("day", "2026-11-20"));
        var entry = Assert.Single(await JournalAsync());
        // 5 lb of 21 % on 3,000 sq ft: 0.35 lb of nitrogen per 1,000, 1.709 g/m² (1 lb = 453.59237 g, 1 ft = 0.3048 m).
        Assert.Equal((JournalKind.Fed, 1.709), (entry.Kind, Math.Round(entry.Amount!.Value, 3)));
    }

    [Theory]
    [InlineData("mowed", "tall", "2026-11-20", "amount")]
    [InlineData("mowed", "90 in", "2026-11-20", "amount")]
    [InlineData("mowed", "2 in; fed 5 lb 21-0-0", "2026-11-20", "amount")]
    [InlineData("fed", "5 lb", "2026-11-20", "amount")]
    [InlineData("fed", "as advised", "2026-11-20", "amount")]
    [InlineData("mowed", "2 in", "2026-11-26", "day")]
    [InlineData("mowed", "2 in", "2024-11-20", "day")]
    [InlineData("mowed", "2 in", "2026-02-30", "day")]
    [InlineData("mowed", "2 in", "", "day")]
    [InlineData("stop", "2 in", "2026-11-20", "kind")]
    [InlineData("set height", "2 in", "2026-11-20", "kind")]
    public async Task What_cannot_be_is_told_beside_its_field_and_nothing_changes(
        string kind,
        string amount,
        string day,
        string field
    )
    {
        var old = await AddAsync(new(0, JournalKind.Mowed, new(2026, 11, 20), 5));
        var page = await PostAsync(old, ("kind", kind), ("amount", amount), ("day", day));
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        Assert.Contains($"id=\"{field}-fault\"", page.Html, StringComparison.Ordinal);
        Assert.Contains(
            $"value=\"{WebUtility.HtmlEncode(amount)}\"",
            page.Html,
            StringComparison.Ordinal
        );
        Assert.Equal(old, Assert.Single(await JournalAsync()));
        Assert.NotNull(
            (await _rig.Store.Subscribers.FindAsync("pat@example.org", Cancel))!.Subscriber
        );
    }

    [Fact]
    public async Task A_line_of_another_lawn_or_one_that_is_gone_is_not_there()
    {
        var sam = (
            await _rig.Store.Subscribers.AddAsync("sam@example.org", _pat.Lawns[0], Cancel)
        )!;
        var others = await _rig.Store.Journal.AddAsync(
            sam.Lawns[0].Id,
            new(0, JournalKind.Mowed, new(2026, 11, 20), 5),
            Cancel
        );
        var page = await PostAsync(
            others,
            ("kind", "mowed"),
            ("amount", "2 in"),
            ("day", "2026-11-20")
        );
        Assert.Contains("not in the journal any more", page.Html, StringComparison.Ordinal);
        Assert.Contains(
            "not in the journal any more",
            await _rig.Http.GetStringAsync($"{Link(_pat)}/entry/{others.Id}", Cancel),
            StringComparison.Ordinal
        );
        Assert.Equal(
            others,
            Assert.Single((await _rig.Store.Journal.LoadAsync(sam.Lawns[0].Id, Cancel)).Entries)
        );
    }

    private Task<JournalEntry> AddAsync(JournalEntry entry) =>
        _rig.Store.Journal.AddAsync(_pat.Lawns[0].Id, entry, Cancel);

    private async Task<(HttpStatusCode Status, string Html)> PostAsync(
        JournalEntry entry,
        params (string Name, string Value)[] typed
    ) => await PostAsync($"/entry/{entry.Id}", [.. typed, ("once", await OnceAsync())]);
}
