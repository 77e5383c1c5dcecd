using System.Globalization;
using System.Text;
using NodaTime;
using TurfWatch.Core;
using static TurfWatch.Host.Demo.DemoFrame;

namespace TurfWatch.Host.Demo;

/// <summary>The page on which one household's season can be followed: its windows, then month by month every message and deed.</summary>
internal static class DemoHouseholdPage
{
    private const string Key = """
        <p class="key"><span class="now">● mow now</span><span class="from">◐ mow from a later hour</span><span class="wait">– wait</span><span class="not">× not today</span> An underlined day: they mowed.</p>
        """;

    public static string Make(DemoYear year)
    {
        var body = new StringBuilder();
        body.Append(
            $"""
            <p><a href="../index.html">All households</a></p>
            <h1>{Text(Where(year))}: the season of one lawn</h1>
            <p>{Text(year.Household.Story)}</p>

            """
        );
        Strip(body, year);
        Windows(body, year);
        body.Append(
                "<h2>Month by month</h2>\n<p>Each square is one morning and opens its message; below stand the alerts, the weekly digests and what the owners did.</p>\n"
            )
            .Append(Key);
        foreach (var month in Months(year))
        {
            Month(body, year, month);
        }

        return Page($"TurfWatch demo: {Where(year)}", body.ToString());
    }

    private static void Strip(StringBuilder body, DemoYear year)
    {
        body.Append("<nav aria-label=\"Months\"><ul class=\"months\">");
        foreach (var month in Months(year))
        {
            var alerts = month.Sum(d => d.Season.Count(m => m.Kind == MessageKind.Alert));
            var done = month.Sum(d => d.Deeds.Count);
            body.Append(
                $"<li><a href=\"#{Anchor(month.Key)}\"><b>{month.Key.ToString("MMM", CultureInfo.InvariantCulture)}</b><small>{Count(month.Count(d => d.Mowed), "mowing", "mowings")}</small><small>{Count(alerts, "alert", "alerts")}</small><small>{Count(done, "deed", "deeds")}</small></a></li>"
            );
        }

        body.Append("</ul></nav>\n");
    }

    /// <summary>When each window stood open, along the year.</summary>
    private static void Windows(StringBuilder body, DemoYear year)
    {
        if (year.Windows.Count == 0)
        {
            return;
        }

        var first = year.Days[0].Date;
        double days = year.Days.Count;
        double At(LocalDate date) => 100 * Period.DaysBetween(first, date) / days;
        string Percent(double share) => share.ToString("0.##", CultureInfo.InvariantCulture);
        body.Append(
            "<section><h2>The season's windows</h2><p>A bar: the days on which the window stood open. The upright mark: the day on which they did it.</p><ul class=\"windows\">\n"
        );
        foreach (var window in year.Windows)
        {
            var done = window.DoneOn is { } day ? $", done {Day(day)}" : "";
            body.Append(
                $"<li>{Text(window.Name)}: <span class=\"soft\">{Day(window.OpenFrom)} to {Day(window.OpenUntil)}{done}</span><div class=\"bar\" aria-hidden=\"true\"><i style=\"left:{Percent(At(window.OpenFrom))}%;width:{Percent(Math.Max(0.6, At(window.OpenUntil.PlusDays(1)) - At(window.OpenFrom)))}%\"></i>"
            );
            if (window.DoneOn is { } mark)
            {
                body.Append($"<u style=\"left:{Percent(At(mark))}%\"></u>");
            }

            body.Append("</div></li>\n");
        }

        var last = year.Days[^1].Date;
        body.Append(
            $"</ul><div class=\"scale\"><span>{Day(first)} {first.Year}</span><span>{Day(first.PlusDays((int)days / 2))}</span><span>{Day(last)} {last.Year}</span></div></section>\n"
        );
    }

    private static void Month(
        StringBuilder body,
        DemoYear year,
        IGrouping<YearMonth, DemoDay> month
    )
    {
        body.Append(
            $"<section id=\"{Anchor(month.Key)}\"><h3>{DemoFrame.Month(month.Key)}</h3><ul class=\"days\">"
        );
        foreach (var day in month)
        {
            var (style, sign, words) = Verdict(day.Mowing.Verdict);
            var number = day.Mowed ? $"<u>{day.Date.Day}</u>" : $"{day.Date.Day}";
            body.Append(
                $"<li><a class=\"{style}\" href=\"{Here(day.File)}\" title=\"{day.Date:uuuu-MM-dd}: {Text(day.Subject)}\" aria-label=\"{day.Date:uuuu-MM-dd}, {words}{(day.Mowed ? ", they mowed" : "")}\">{number}<b aria-hidden=\"true\">{sign}</b></a></li>"
            );
        }

        body.Append("</ul>\n<ul class=\"log\">\n");
        foreach (var day in month)
        {
            foreach (var mail in day.Season)
            {
                body.Append(
                    $"<li><time datetime=\"{day.Date:uuuu-MM-dd}\">{Day(day.Date)}</time><span class=\"chip\">{Chip(mail)}</span><a href=\"{Here(mail.File)}\">{Text(mail.Subject)}</a></li>\n"
                );
            }

            foreach (var deed in day.Deeds)
            {
                body.Append(
                    $"<li><time datetime=\"{day.Date:uuuu-MM-dd}\">{Day(day.Date)}</time><span class=\"chip from\">they did it</span>{Text(DemoDeeds.Words(deed, year.Household.Lawn.Units))}</li>\n"
                );
            }
        }

        body.Append(
            $"</ul>\n<details><summary>The {month.Count()} morning messages of {DemoFrame.Month(month.Key)}</summary><div class=\"wide\"><table><thead><tr><th scope=\"col\">Date</th><th scope=\"col\">Verdict</th><th scope=\"col\">Message</th></tr></thead><tbody>\n"
        );
        foreach (var day in month)
        {
            body.Append(
                $"<tr><td class=\"n\">{day.Date.ToString("ddd d MMM", CultureInfo.InvariantCulture)}</td><td>{Hours(day, year.Household.Lawn.Place.Zone)}</td><td><a href=\"{Here(day.File)}\">{Text(day.Subject)}</a></td></tr>\n"
            );
        }

        body.Append("</tbody></table></div></details></section>\n");
    }

    private static string Hours(DemoDay day, DateTimeZone zone)
    {
        var (_, sign, words) = Verdict(day.Mowing.Verdict);
        string Clock(Instant? at) => at is { } i ? $"{i.InZone(zone).LocalDateTime:H:mm}" : "";
        var hours = (day.Mowing.From, day.Mowing.Until) switch
        {
            ({ } from, { } until) => $" {Clock(from)}–{Clock(until)}",
            (null, { } until) => $" until {Clock(until)}",
            ({ } from, null) => $" {Clock(from)}",
            _ => "",
        };
        return $"{sign} {words}{hours}{(day.Mowed ? ", mowed" : "")}";
    }

    private static string Chip(DemoMail mail) =>
        mail.Event switch
        {
            WindowEvent.Opened => "alert",
            WindowEvent.ClosingSoon => "alert: closing",
            WindowEvent.Closed => "alert: closed",
            _ => "digest",
        };

    private static string Count(int number, string one, string many) =>
        $"{number} {(number == 1 ? one : many)}";

    private static string Day(LocalDate date) =>
        date.ToString("d MMM", CultureInfo.InvariantCulture);

    private static string Anchor(YearMonth month) =>
        month.ToString("uuuu-MM", CultureInfo.InvariantCulture);

    /// <summary>The file as it is linked from the household's own folder.</summary>
    private static string Here(string file) =>
        file[(file.IndexOf('/', StringComparison.Ordinal) + 1)..];
}
