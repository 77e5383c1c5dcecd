using System.Text;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice.Digest;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using static TurfWatch.Host.Web.Page;

namespace TurfWatch.Host.Web;

/// <summary>How a lawn stands, as the body of its page.</summary>
internal static class LawnView
{
    /// <summary>What can be written down, and how: a list.</summary>
    public const string HowToSay = """
        <dl>
        <dt>Mowed</dt><dd>mowed 2 in; skipped mowing</dd>
        <dt>Fed</dt><dd>fed 5 lb 21-0-0; fed as advised</dd>
        <dt>Seeded</dt><dd>seeded 10 lb annual rye; germinated</dd>
        <dt>Watered</dt><dd>watered 20 min; watered 0.5 in</dd>
        <dt>Other work</dt><dd>aerated; dethatched; pre-emergent</dd>
        <dt>Soil</dt><dd>soil 61, by a thermometer at 4 in</dd>
        <dt>Messages</dt><dd>skip; pause until jan 10; resume</dd>
        </dl>
        """;

    // A journal of years is in the export; the page shows a season.
    private const int EntriesShown = 60;

    public static string Of(
        OwnedLawn owned,
        LawnYear year,
        string token,
        LinkTokens tokens,
        Func<string> once
    )
    {
        var say = new PhraseText(owned.Lawn, year.Date);
        var briefing = LawnToday.Morning(year);
        var digest = WeeklyDigest.Build(year, SeasonCalendar.Of(year));
        var html = new StringBuilder();
        html.Append(
            $"<p class=\"soft\">{Encode($"{owned.Lawn.Place.Name}, {owned.Lawn.Place.State} · {Grasses.Of(owned.Lawn.Grass).Name} · as of {say.Of(Phrase.Of($"{year.Now}"))}")}</p>"
        );
        Standing(html, owned, tokens, year, say);
        html.Append($"<p class=\"verdict\">{Encode(say.Of(briefing.Headline))}</p>");
        List(
            html,
            briefing
                .Mowing.Reasons.Where(r => r.Weight != AdviceWeight.Informs)
                .Select(r => say.Of(r.Text))
        );
        List(html, briefing.Cautions.Select(say.Of));
        html.Append(NewLine.Forms(token, year.Now.InZone(owned.Lawn.Place.Zone).Date, once));
        Journal(html, year.Record, say, token, once);
        Windows(html, say.Of(digest.Windows));
        html.Append(digest.Charts.IsEmpty ? "" : "<h2>The season at a glance</h2>");
        foreach (var chart in digest.Charts)
        {
            html.Append(ChartPages.Figure(chart, year, token, say));
            List(html, chart.InWords.Select(say.Of));
        }

        Rest(html, owned, token, tokens, year.Date, once);
        return html.ToString();
    }

    public static string LeaveLink(OwnedLawn owned, LinkTokens tokens) =>
        $"/u/{tokens.Issue(MessageComposer.UnsubscribePurpose, owned.Subscriber.Id)}";

    private static void Standing(
        StringBuilder html,
        OwnedLawn owned,
        LinkTokens tokens,
        LawnYear year,
        PhraseText say
    )
    {
        if (owned.PausedUntil is { } until && until > year.Date)
        {
            var words =
                until.Year == LocalDate.MaxIsoValue.Year
                    ? "until they are let go on again"
                    : say.Of(Phrase.Of($"until {until}"));
            html.Append($"<p><strong>Messages are paused {Encode(words)}.</strong></p>");
        }

        if (owned.Subscriber.Status == SubscriberStatus.Left)
        {
            var back = tokens.Issue(
                LinkPurpose.Rejoin,
                owned.Subscriber.Id,
                year.Now + LinkPaths.Lifetime(LinkPurpose.LawnPage)
            );
            html.Append(
                $"<p><strong>No messages are sent: the address is off the list.</strong> <a href=\"/rejoin/{back}\">Come back to the list</a></p>"
            );
        }
    }

    private static void Journal(
        StringBuilder html,
        LawnRecord record,
        PhraseText say,
        string token,
        Func<string> once
    )
    {
        html.Append("<h2>Journal</h2>");
        if (record.Entries.IsEmpty)
        {
            html.Append("<p>Nothing is written down yet.</p>");
            return;
        }

        html.Append("<ul class=\"log\">");
        foreach (var entry in record.Entries.Reverse().Take(EntriesShown))
        {
            var words = Encode(say.Of(JournalOf.InWords(entry)));
            html.Append(
                $"""
                <li><span>{words}</span><span class="acts"><a href="/lawn/{token}/entry/{entry.Id}" aria-label="Change: {words}">Change</a><form method="post" action="/lawn/{token}/remove"><input type="hidden" name="entry" value="{entry.Id}"><input type="hidden" name="once" value="{once()}"><button class="plain" type="submit" aria-label="Take out: {words}">Take out</button></form></span></li>
                """
            );
        }

        html.Append("</ul>");
        if (record.Entries.Length > EntriesShown)
        {
            html.Append(
                $"<p class=\"soft\">The newest {EntriesShown} lines; all are in the file of what is held.</p>"
            );
        }
    }

    private static void Windows(StringBuilder html, IReadOnlyList<WindowText> windows)
    {
        if (windows.Count == 0)
        {
            return;
        }

        html.Append(
            """
            <h2>The season's windows</h2>
            <table><caption>The dates in brackets hold in eight of ten years.</caption>
            <thead><tr><th scope="col">Window, and where it stands</th><th scope="col">Dates, and why</th></tr></thead><tbody>
            """
        );
        foreach (var window in windows)
        {
            html.Append(
                $"<tr><th scope=\"row\">{Encode(window.Name)}<span>{Encode(window.Standing)}</span></th><td>{string.Join("<br>", window.Dates.Append(window.Reason).Where(d => d.Length > 0).Select(Encode))}</td></tr>"
            );
        }

        html.Append("</tbody></table>");
    }

    private static void Rest(
        StringBuilder html,
        OwnedLawn owned,
        string token,
        LinkTokens tokens,
        LocalDate today,
        Func<string> once
    )
    {
        var paused = owned.PausedUntil > today;
        html.Append(
            $"""
            <h2>Messages and settings</h2>
            <p><a href="/lawn/{token}/calendar">Follow its dates in your calendar</a></p>
            <p><a href="/lawn/{token}/settings">Change what is set for this lawn</a></p>
            {(paused ? Resume(token, once()) : Pause(token, today, once))}
            <p><a href="{LeaveLink(owned, tokens)}">Stop all messages</a></p>
            <p><a href="/lawn/{token}/export">Download all that is held of you</a></p>
            <p><a href="/lawn/{token}/journal.csv">Download the journal as a table</a></p>
            <p><a href="/lawn/{token}/erase">Erase all that is held of you</a></p>
            <p class="soft">Whoever has the address of this page can use it: do not pass it on. It is good for seven days from when it was mailed; for the settings, and for what is held of you, two hours.</p>
            """
        );
    }

    private static string Resume(string token, string once) =>
        $"""
            <form method="post" action="/lawn/{token}/say">
            <input type="hidden" name="line" value="resume"><input type="hidden" name="once" value="{once}">
            <p class="send"><button class="plain" type="submit">Let the messages go on</button></p>
            </form>
            """;

    private static string Pause(string token, LocalDate today, Func<string> once) =>
        $"""
            <form method="post" action="/lawn/{token}/say">
            <label for="until">No messages until</label>
            <input id="until" name="until" type="date" required min="{today.PlusDays(
                1
            ):uuuu-MM-dd}" max="{today.PlusYears(1):uuuu-MM-dd}">
            <input type="hidden" name="once" value="{once()}">
            <p class="send"><button class="plain" type="submit">Pause until that day</button></p>
            </form>
            <form method="post" action="/lawn/{token}/say">
            <input type="hidden" name="line" value="pause"><input type="hidden" name="once" value="{once()}">
            <p class="send"><button class="plain" type="submit">Pause the messages until I resume them</button></p>
            </form>
            """;

    private static void List(StringBuilder html, IEnumerable<string> lines)
    {
        var items = string.Concat(lines.Select(l => $"<li>{Encode(l)}</li>"));
        if (items.Length > 0)
        {
            html.Append($"<ul>{items}</ul>");
        }
    }
}
