using System.Text;
using TurfWatch.Core;
using static TurfWatch.Host.Demo.DemoFrame;

namespace TurfWatch.Host.Demo;

/// <summary>The first page of the demo folder, and the year of all lawns in one page.</summary>
internal static class DemoPages
{
    public static string Index(IReadOnlyList<DemoYear> years)
    {
        var body = new StringBuilder();
        var mornings = years.Sum(y => y.Days.Count);
        body.Append(
            $"""
            <h1>{mornings} mornings on three lawns, and their season</h1>
            <p>Follow a household through its year: what it was told each morning, when the season's windows opened and closed, the digest of each week, and
            what its owners did about it. The people, the towns and the weather are invented; everything else is the service at work: the soil and dew of each
            lawn are computed hour by hour, the forecast is wrong by as much as forecasts are, the dates ahead come from twenty invented past years, the owners
            act on what they read, and tomorrow's message knows it.</p>
            <p><a href="summary.html">The year on one page</a></p>

            """
        );
        foreach (var year in years)
        {
            Household(body, year);
        }

        return Page("TurfWatch demo", body.ToString());
    }

    public static string Summary(IReadOnlyList<DemoYear> years)
    {
        var body = new StringBuilder(
            "<h1>The year on one page</h1><p><a href=\"index.html\">All households</a></p>\n"
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
        var key = year.Household.Key;
        var mails = year.Days.SelectMany(d => d.Season).ToList();
        var deeds = year.Days.SelectMany(d => d.Deeds).ToList();
        int Did(JournalKind kind) => deeds.Count(d => d.Kind == kind);
        body.Append(
            $"""
            <section id="{key}"><h2><a href="{key}/index.html">{Text(Where(year))}</a></h2>
            <p>{Text(year.Household.Story)}</p>
            <p>{year.Days.Count} morning messages, {mails.Count(
                m => m.Kind == MessageKind.Alert
            )} alerts, {mails.Count(
                m => m.Kind == MessageKind.Digest
            )} weekly digests. On their record: mowings {year.Days.Count(
                d => d.Mowed
            )}, feedings {Did(JournalKind.Fed)}, sowings {Did(JournalKind.Seeded)}.</p>
            <p><a href="{key}/index.html">Follow this season</a></p>

            """
        );
        var latest = year
            .Days.SelectMany(d => d.Season)
            .LastOrDefault(m => m.Kind == MessageKind.Digest);
        if (latest is not null)
        {
            body.Append($"<p><a href=\"{latest.File}\">The newest digest</a></p>\n");
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
            us ? $"{rain / Customary.InchMm:0.0} in" : $"{rain:0} mm",
        ];
        body.Append($"<tr><th scope=\"row\">{name}</th>");
        foreach (var number in numbers)
        {
            body.Append($"<{cell} class=\"n\">{number}</{cell}>");
        }

        body.Append($"<{cell}>{Text(obstacle)}</{cell}></tr>\n");
    }
}
