using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.RegularExpressions;
using Ical.Net.CalendarComponents;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather.Places;
using Xunit;
using Calendar = Ical.Net.Calendar;

namespace TurfWatch.Host.Tests.Web;

/// <summary>The lawn's calendar, held to the rules of RFC 5545 line by line, and to being good for whom and as long as its owner wants.</summary>
public sealed partial class CalendarPagesTests : IAsyncLifetime
{
    private const string Name = "Front; back, \\ \"Wiese\" für 🐕";

    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private readonly Scratch _scratch = new();
    private readonly FakeTimeProvider _clock = new(Start.ToDateTimeOffset());
    private ServiceRig _rig = null!;
    private SubscriberLawns _pat = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _rig = await ServiceRig.StartAsync(_scratch, _clock);
        var place = ZipDirectory.Lookup("85719").Place!;
        await TownWeather.KeepAsync(_rig, place, Start);
        _pat = (
            await _rig.Store.Subscribers.AddAsync(
                "pat@example.org",
                new Lawn
                {
                    Place = place,
                    Grass = GrassKind.Bermuda,
                    Overseed = GrassKind.PerennialRyegrass,
                    Name = Name,
                    AreaM2 = 278.7,
                    MowingHeightCm = 5,
                    Irrigated = true,
                },
                Cancel
            )
        )!;
        await _rig.Store.Journal.AddAsync(
            _pat.Lawns[0].Id,
            new(0, JournalKind.Seeded, new(2026, 10, 1), 48.8)
            {
                Grass = GrassKind.PerennialRyegrass,
            },
            Cancel
        );
        await _rig.Store.Journal.AddAsync(
            _pat.Lawns[0].Id,
            new(0, JournalKind.Mowed, new(2026, 10, 20), 5),
            Cancel
        );
    }

    public async ValueTask DisposeAsync()
    {
        await _rig.DisposeAsync();
        _scratch.Dispose();
    }

    [Fact]
    public async Task It_is_written_as_the_standard_says_line_by_line()
    {
        using var got = await _rig.Http.GetAsync(await MadeAsync(), Cancel);
        Assert.Equal(HttpStatusCode.OK, got.StatusCode);
        Assert.Equal("text/calendar; charset=utf-8", got.Content.Headers.ContentType!.ToString());
        var bytes = await got.Content.ReadAsByteArrayAsync(Cancel);
        var text = new UTF8Encoding(false, true).GetString(bytes);

        // 3.1: lines end with CRLF and have at most 75 octets without it; nothing else breaks a line, no letter is cut.
        Assert.EndsWith("\r\n", text, StringComparison.Ordinal);
        Assert.DoesNotMatch("(?<!\r)\n|\r(?!\n)", text);
        Assert.All(text.Split("\r\n"), l => Assert.InRange(Encoding.UTF8.GetByteCount(l), 0, 75));
        Assert.DoesNotMatch("[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\x7f]", text);

        var lines = Unfolded(text);
        Assert.All(lines, l => Assert.Matches("^[A-Z-]+(;[A-Z-]+=[^:;]+)*:", l));
        // 3.6: what a calendar must have, once.
        Assert.Equal(["BEGIN:VCALENDAR", "END:VCALENDAR"], [lines[0], lines[^1]]);
        Assert.Single(lines, "VERSION:2.0");
        Assert.Single(lines, l => l.StartsWith("PRODID:", StringComparison.Ordinal));
        Assert.DoesNotContain(lines, l => l.StartsWith("METHOD", StringComparison.Ordinal));
        // RFC 7986, 5.7: needs its type.
        Assert.Single(lines, "REFRESH-INTERVAL;VALUE=DURATION:PT6H");
        // 3.3.11: backslash, semicolon and comma are escaped in text, a quotation mark is not.
        Assert.Single(lines, "X-WR-CALNAME:Front\\; back\\, \\\\ \"Wiese\" für 🐕");

        var events = Events(lines);
        Assert.NotEmpty(events);
        foreach (var e in events)
        {
            // 3.6.1: UID, DTSTAMP and DTSTART once; DTEND exclusive, of the same type; 3.8.7.4, 3.8.7.3.
            Assert.Equal(e.Count, e.Select(l => l.Split(':', ';')[0]).Distinct().Count());
            Assert.Single(e, l => Regex.IsMatch(l, "^UID:[0-9a-f]{32}@[a-z.]+$"));
            Assert.Single(e, l => Regex.IsMatch(l, @"^DTSTAMP:\d{8}T\d{6}Z$"));
            Assert.Single(e, l => Regex.IsMatch(l, @"^LAST-MODIFIED:\d{8}T\d{6}Z$"));
            Assert.Single(e, l => Regex.IsMatch(l, @"^SEQUENCE:\d{1,9}$"));
            Assert.Single(e, l => l.StartsWith("SUMMARY:", StringComparison.Ordinal));
            var start = Assert.Single(e, l => Regex.IsMatch(l, @"^DTSTART;VALUE=DATE:\d{8}$"));
            var end = Assert.Single(e, l => Regex.IsMatch(l, @"^DTEND;VALUE=DATE:\d{8}$"));
            Assert.True(
                string.CompareOrdinal(end.Split(':')[1], start.Split(':')[1]) > 0,
                $"{start} {end}"
            );
        }

        Assert.Equal(events.Count, events.Select(Uid).Distinct(StringComparer.Ordinal).Count());
        Assert.DoesNotContain("pat@", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Mowed", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_reader_finds_windows_as_whole_days_with_their_doubt_and_the_mowing_and_feeding_due()
    {
        var calendar = Calendar.Load(await _rig.Http.GetStringAsync(await MadeAsync(), Cancel))!;
        Assert.All(calendar.Events, e => Assert.True(e.IsAllDay));
        var window = Assert.Single(calendar.Events, Named("From perennial ryegrass back"));
        Assert.Matches(@"Opens about \w+ \d+ \(\w+ \d+ to \w+ \d+\)", window.Description);
        Assert.True((window.End!.Value - window.Start!.Value).TotalDays > 20);
        var frost = Assert.Single(calendar.Events, Named("First frost"));
        Assert.Equal(1, (frost.End!.Value - frost.Start!.Value).TotalDays);
        Assert.True(
            calendar.Events.Any(e => Named("Mow the perennial ryegrass")(e)),
            string.Join('|', calendar.Events.Select(e => e.Summary))
        );
        Assert.Single(calendar.Events, Named("Due: "));

        Predicate<CalendarEvent> Named(string name) =>
            e => e.Summary!.StartsWith(name, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_entry_keeps_its_name_when_its_date_moves_and_counts_up_and_the_others_stay_as_they_are()
    {
        var link = await MadeAsync();
        using var first = await _rig.Http.GetAsync(link, Cancel);
        var before = Events(Unfolded(await first.Content.ReadAsStringAsync(Cancel)));

        // Worked out again, and all is as it was.
        _clock.Advance(TimeSpan.FromMinutes(61));
        using var second = await _rig.Http.GetAsync(link, Cancel);
        Assert.Equal(first.Headers.ETag, second.Headers.ETag);

        // What is overdue is due today, whatever the day.
        _clock.Advance(TimeSpan.FromDays(2));
        var after = Events(Unfolded(await _rig.Http.GetStringAsync(link, Cancel)));
        var was = before.Single(e => Of(e, "SUMMARY").StartsWith("Mow", StringComparison.Ordinal));
        var now = after.Single(e => Uid(e) == Uid(was));
        Assert.Equal(("20261125", "20261127"), (Of(was, "DTSTART"), Of(now, "DTSTART")));
        Assert.True(Count(now) > Count(was));
        Assert.True(string.CompareOrdinal(Of(now, "LAST-MODIFIED"), Of(was, "LAST-MODIFIED")) > 0);

        static int Count(List<string> e) => int.Parse(Of(e, "SEQUENCE"), null);
    }

    [Fact]
    public async Task Whoever_has_it_already_gets_nothing_again()
    {
        var link = await MadeAsync();
        using var first = await _rig.Http.GetAsync(link, Cancel);
        var tag = first.Headers.ETag!;
        using var ask = new HttpRequestMessage(HttpMethod.Get, link);
        ask.Headers.IfNoneMatch.Add(tag);
        using var second = await _rig.Http.SendAsync(ask, Cancel);
        Assert.Equal(HttpStatusCode.NotModified, second.StatusCode);
        Assert.Equal(tag, second.Headers.ETag);
        Assert.Equal(TimeSpan.FromHours(1), first.Headers.CacheControl!.MaxAge);
    }

    [Fact]
    public async Task There_is_none_until_it_is_asked_for_and_the_old_address_ends_with_a_new_one()
    {
        for (var i = 0; i < 50; i++)
        {
            using var looked = await _rig.Http.GetAsync(Lawn + "/calendar", Cancel);
            Assert.Equal(HttpStatusCode.OK, looked.StatusCode);
        }

        Assert.Equal(0, (await _rig.Store.Lawns.FindAsync(_pat.Lawns[0].Id, Cancel))!.Calendar);
        var first = await MadeAsync();
        var second = await MadeAsync();
        Assert.NotEqual(first, second);
        using var old = await _rig.Http.GetAsync(first, Cancel);
        using var good = await _rig.Http.GetAsync(second, Cancel);
        Assert.Equal(HttpStatusCode.NotFound, old.StatusCode);
        Assert.Equal(HttpStatusCode.OK, good.StatusCode);

        // It outlives the link to the page, and goes with the lawn.
        _clock.Advance(TimeSpan.FromDays(400));
        using var later = await _rig.Http.GetAsync(second, Cancel);
        Assert.Equal(HttpStatusCode.OK, later.StatusCode);
        await _rig.Store.Dossiers.EraseAsync(
            _pat.Subscriber.Id,
            new byte[1],
            new byte[1],
            null,
            Cancel
        );
        using var gone = await _rig.Http.GetAsync(second, Cancel);
        Assert.Equal(HttpStatusCode.NotFound, gone.StatusCode);
    }

    [Fact]
    public async Task No_other_token_opens_it()
    {
        var id = _pat.Lawns[0].Id;
        await MadeAsync();
        foreach (
            var file in new[]
            {
                _rig.Tokens.Issue(LinkPurpose.LawnPage, (id << 20) | 1) + ".ics",
                _rig.Tokens.Issue(LinkPurpose.Calendar, id << 20) + ".ics",
                _rig.Tokens.Issue(LinkPurpose.Calendar, (id << 20) | 2) + ".ics",
                _rig.Tokens.Issue(LinkPurpose.Calendar, (id << 20) | 1),
                "x.ics",
            }
        )
        {
            using var got = await _rig.Http.GetAsync("/calendar/" + file, Cancel);
            Assert.Equal(HttpStatusCode.NotFound, got.StatusCode);
        }
    }

    private string Lawn =>
        $"/lawn/{_rig.Tokens.Issue(LinkPurpose.LawnPage, _pat.Lawns[0].Id, Start + Duration.FromDays(7))}";

    private async Task<string> MadeAsync()
    {
        using var made = await _rig.Http.PostAsync(Lawn + "/calendar", null, Cancel);
        var html = await made.Content.ReadAsStringAsync(Cancel);
        return AddressForm().Match(html).Groups[1].Value;
    }

    private static List<string> Unfolded(string text) =>
        [
            .. text.Replace("\r\n ", "", StringComparison.Ordinal)
                .Split("\r\n", StringSplitOptions.RemoveEmptyEntries),
        ];

    private static List<List<string>> Events(List<string> lines)
    {
        var events = new List<List<string>>();
        foreach (var line in lines)
        {
            if (line == "BEGIN:VEVENT")
            {
                events.Add([]);
            }
            else if (events.Count > 0 && !line.StartsWith("END:", StringComparison.Ordinal))
            {
                events[^1].Add(line);
            }
        }

        return events;
    }

    private static string Uid(List<string> e) => Of(e, "UID");

    private static string Of(List<string> e, string name) =>
        e.Single(l => l.StartsWith(name, StringComparison.Ordinal)).Split(':', 2)[1];

    [GeneratedRegex("<a href=\"(/calendar/[^\"]+)\"", RegexOptions.None, 1000)]
    private static partial Regex AddressForm();
}
