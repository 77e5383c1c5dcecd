using System.Globalization;
using System.Net;
using System.Text;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>The pages of the demo folder: every message month by month, and the year in one page.</summary>
internal static class DemoPages
{
    private const string Style = """
        :root { color-scheme: light dark; --back: #f4f6f1; --text: #1c241a; --soft: #55604f; --card: #fff; --line: #c9d1c3; --link: #20561b;
          --now: #2f6b28; --now-t: #fff; --from: #cfe6c6; --from-t: #14310f; --wait: #eceadc; --wait-t: #3d3a26; --not: #f3dcd3; --not-t: #59230f }
        @media (prefers-color-scheme: dark) { :root { --back: #141913; --text: #e6ebe3; --soft: #aab5a3; --card: #1d241b; --line: #434e3b; --link: #a5d49b;
          --now: #9ed392; --now-t: #0f220b; --from: #2e4a27; --from-t: #d7ecd0; --wait: #35332a; --wait-t: #dedac4; --not: #4a2a20; --not-t: #f3d3c7 } }
        body { margin: 0; background: var(--back); color: var(--text); font: 1rem/1.5 system-ui, sans-serif }
        main { max-width: 62rem; margin: 0 auto; padding: 1rem }
        h1 { font-size: 1.6rem; line-height: 1.2; margin: .5rem 0 } h2 { font-size: 1.25rem; margin: .75rem 0 .25rem } h3 { font-size: 1rem; margin: 1rem 0 .25rem }
        p { max-width: 44rem; margin: .4rem 0 } .soft { color: var(--soft) } a { color: var(--link) }
        nav ul { padding: 0; list-style: none; display: flex; flex-wrap: wrap; gap: .25rem 1rem } nav a { display: inline-block; padding: .25rem 0 }
        section { background: var(--card); border: 1px solid var(--line); border-radius: .5rem; padding: .25rem 1rem 1rem; margin: 1rem 0 }
        .days { display: flex; flex-wrap: wrap; gap: 3px; padding: 0; margin: .25rem 0; list-style: none }
        .days a { display: block; width: 1.7rem; padding: .15rem 0; border-radius: 4px; text-align: center; text-decoration: none; font-size: .8rem; line-height: 1.15 }
        .days b { display: block; font-size: .95rem } .days a:hover, .days a:focus-visible { outline: 2px solid var(--text) }
        .now { background: var(--now); color: var(--now-t) } .from { background: var(--from); color: var(--from-t) }
        .wait { background: var(--wait); color: var(--wait-t) } .not { background: var(--not); color: var(--not-t) }
        .key span { display: inline-block; border-radius: 4px; padding: 0 .4rem; margin: 0 .5rem .25rem 0 }
        details { margin: .25rem 0 } summary { cursor: pointer; color: var(--link); min-height: 1.6rem }
        .wide { overflow-x: auto } table { border-collapse: collapse; font-size: .9rem } .year th, .year td { white-space: nowrap } th, td { text-align: left; padding: .25rem .75rem .25rem 0; border-bottom: 1px solid var(--line); vertical-align: top }
        td.n, th.n { text-align: right; white-space: nowrap } th[scope=row] { white-space: nowrap }
        """;

    public static string Index(IReadOnlyList<DemoYear> years)
    {
        var body = new StringBuilder();
        var messages = years.Sum(y => y.Days.Count);
        body.Append(
            $"""
            <h1>{messages} mornings on three lawns</h1>
            <p>Each square is one morning and opens the message that its owners got. The people, the towns and the weather are invented;
            everything else is the service at work: the soil and dew of each lawn are computed hour by hour, the forecast is wrong by as much as
            forecasts are, the owners act on what they read, and tomorrow's message knows it.</p>
            <p class="key"><span class="now">● mow now</span><span class="from">◐ mow from a later hour</span><span class="wait">– wait</span><span class="not">× not today</span> An underlined day: they mowed.</p>
            <nav aria-label="Contents"><ul><li><a href="summary.html">The year on one page</a></li>{string.Concat(
                years.Select(y =>
                    $"<li><a href=\"#{y.Household.Key}\">{Text(y.Household.Lawn.Place.Name)}</a></li>"
                )
            )}</ul></nav>

            """
        );
        foreach (var year in years)
        {
            Household(body, year);
        }

        return Page("TurfWatch demo: every message", body.ToString());
    }

    public static string Summary(IReadOnlyList<DemoYear> years)
    {
        var body = new StringBuilder(
            "<h1>The year on one page</h1><p><a href=\"index.html\">Every message</a></p>\n"
        );
        foreach (var year in years)
        {
            body.Append(
                $"<section><h2>{Text(Where(year))}</h2><p>{Text(year.Household.Story)}</p>"
            );
            body.Append(
                "<div class=\"wide\"><table class=\"year\"><thead><tr><th scope=\"col\">Month</th><th scope=\"col\" class=\"n\">Mow now</th><th scope=\"col\" class=\"n\">Mow later</th><th scope=\"col\" class=\"n\">Wait</th><th scope=\"col\" class=\"n\">Not today</th><th scope=\"col\" class=\"n\">Mowed</th><th scope=\"col\" class=\"n\">Mean high</th><th scope=\"col\" class=\"n\">Mean low</th><th scope=\"col\" class=\"n\">Rain</th><th scope=\"col\">Most often in the way</th></tr></thead><tbody>\n"
            );
            foreach (var month in Months(year))
            {
                Row(body, Month(month.Key), [.. month], year.Household.Lawn.Units, "td");
            }

            Row(body, "All", year.Days, year.Household.Lawn.Units, "th");
            body.Append("</tbody></table></div></section>\n");
        }

        return Page("TurfWatch demo: the year", body.ToString());
    }

    private static void Household(StringBuilder body, DemoYear year)
    {
        body.Append($"<section id=\"{year.Household.Key}\"><h2>{Text(Where(year))}</h2>");
        body.Append($"<p>{Text(year.Household.Story)}</p>\n");
        foreach (var month in Months(year))
        {
            body.Append($"<h3>{Month(month.Key)}</h3><ul class=\"days\">");
            foreach (var day in month)
            {
                var (style, sign, words) = Verdict(day.Mowing.Verdict);
                var number = day.Mowed ? $"<u>{day.Date.Day}</u>" : $"{day.Date.Day}";
                body.Append(
                    $"<li><a class=\"{style}\" href=\"{day.File}\" title=\"{day.Date:uuuu-MM-dd}: {Text(day.Subject)}\" aria-label=\"{day.Date:uuuu-MM-dd}, {words}{(day.Mowed ? ", they mowed" : "")}\">{number}<b aria-hidden=\"true\">{sign}</b></a></li>"
                );
            }

            body.Append(
                $"</ul>\n<details><summary>The {month.Count()} messages of {Month(month.Key)}</summary><div class=\"wide\"><table><thead><tr><th scope=\"col\">Date</th><th scope=\"col\">Verdict</th><th scope=\"col\">Message</th></tr></thead><tbody>\n"
            );
            foreach (var day in month)
            {
                body.Append(
                    $"<tr><td class=\"n\">{day.Date.ToString("ddd d MMM", CultureInfo.InvariantCulture)}</td><td>{Hours(day, year.Household.Lawn.Place.Zone)}</td><td><a href=\"{day.File}\">{Text(day.Subject)}</a></td></tr>\n"
                );
            }

            body.Append("</tbody></table></div></details>\n");
        }

        body.Append("</section>\n");
    }

    private static void Row(
        StringBuilder body,
        string name,
        IReadOnlyList<DemoDay> days,
        UnitSystem units,
        string cell
    )
    {
        int Count(MowingVerdict verdict) => days.Count(d => d.Mowing.Verdict == verdict);
        var us = units == UnitSystem.UsCustomary;
        string Temperature(double c) => us ? $"{c * 1.8 + 32:0} °F" : $"{c:0} °C";
        var rain = days.Sum(d => d.RainMm);
        var obstacle = days.Where(d => d.Obstacle is not null)
            .GroupBy(d => d.Obstacle!, StringComparer.Ordinal)
            .OrderByDescending(g => g.Count())
            .ThenBy(g => g.Key, StringComparer.Ordinal)
            .Select(g => $"{g.Key.Replace('-', ' ')} ({g.Count()})")
            .FirstOrDefault("");
        string[] numbers =
        [
            $"{Count(MowingVerdict.MowNow)}",
            $"{Count(MowingVerdict.MowFrom)}",
            $"{Count(MowingVerdict.Wait)}",
            $"{Count(MowingVerdict.NotToday)}",
            $"{days.Count(d => d.Mowed)}",
            Temperature(days.Average(d => d.HighC)),
            Temperature(days.Average(d => d.LowC)),
            us ? $"{rain / 25.4:0.0} in" : $"{rain:0} mm",
        ];
        body.Append($"<tr><th scope=\"row\">{name}</th>");
        foreach (var number in numbers)
        {
            body.Append($"<{cell} class=\"n\">{number}</{cell}>");
        }

        body.Append($"<{cell}>{Text(obstacle)}</{cell}></tr>\n");
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

    private static (string Style, string Sign, string Words) Verdict(MowingVerdict verdict) =>
        verdict switch
        {
            MowingVerdict.MowNow => ("now", "●", "mow now"),
            MowingVerdict.MowFrom => ("from", "◐", "mow from a later hour"),
            MowingVerdict.Wait => ("wait", "–", "wait"),
            _ => ("not", "×", "not today"),
        };

    private static IEnumerable<IGrouping<YearMonth, DemoDay>> Months(DemoYear year) =>
        year.Days.GroupBy(d => d.Date.ToYearMonth());

    private static string Month(YearMonth month) =>
        month.ToString("MMMM uuuu", CultureInfo.InvariantCulture);

    private static string Where(DemoYear year)
    {
        var lawn = year.Household.Lawn;
        return $"{lawn.Place.Name}, {lawn.Place.State}";
    }

    private static string Text(string text) => WebUtility.HtmlEncode(text);

    private static string Page(string title, string body) =>
        $"""
            <!doctype html>
            <html lang="en" dir="ltr">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <meta name="color-scheme" content="light dark">
            <title>{title}</title>
            <style>
            {Style}
            </style>
            </head>
            <body><main>
            {body}
            </main></body>
            </html>

            """;
}
