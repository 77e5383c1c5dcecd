using System.Globalization;
using System.Net;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>What the pages of the demo have in common: the frame, the look, and how a verdict is shown.</summary>
internal static class DemoFrame
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
        .months { display: grid; grid-template-columns: repeat(auto-fill, minmax(5.6rem, 1fr)); max-width: 44rem; gap: 4px; padding: 0; margin: .5rem 0; list-style: none }
        .months a { display: block; padding: .3rem .4rem; border: 1px solid var(--line); border-radius: 4px; text-decoration: none; color: var(--text); line-height: 1.25 }
        .months b { display: block; color: var(--link) } .months small { display: block; color: var(--soft) }
        .windows { padding: 0; margin: .5rem 0; list-style: none; max-width: 44rem } .windows li { margin: .5rem 0; line-height: 1.3 }
        .bar { position: relative; height: .8rem; margin-top: .2rem; border-radius: 4px; background: repeating-linear-gradient(90deg, var(--line) 0 1px, transparent 1px 8.3333%), var(--back) }
        .bar i { position: absolute; top: 0; bottom: 0; border-radius: 4px; background: var(--now) } .bar u { position: absolute; top: -.15rem; bottom: -.15rem; width: 3px; background: var(--text) }
        .scale { display: flex; justify-content: space-between; font-size: .8rem; color: var(--soft); max-width: 44rem }
        .log { padding-left: 0; list-style: none; margin: .5rem 0 } .log li { margin: .3rem 0; padding-left: 4.2rem; text-indent: -4.2rem }
        .log time { display: inline-block; width: 4.2rem; text-indent: 0; color: var(--soft) } .log li > * { text-indent: 0 }
        .chip { display: inline-block; border: 1px solid var(--line); border-radius: 4px; padding: 0 .35rem; margin-right: .35rem; font-size: .85rem }
        .key span { display: inline-block; border-radius: 4px; padding: 0 .4rem; margin: 0 .5rem .25rem 0 }
        details { margin: .25rem 0 } summary { cursor: pointer; color: var(--link); min-height: 1.6rem }
        .wide { overflow-x: auto } table { border-collapse: collapse; font-size: .9rem } .year th, .year td { white-space: nowrap } th, td { text-align: left; padding: .25rem .75rem .25rem 0; border-bottom: 1px solid var(--line); vertical-align: top }
        td.n, th.n { text-align: right; white-space: nowrap } th[scope=row] { white-space: nowrap }
        """;

    public static string Text(string text) => WebUtility.HtmlEncode(text);

    public static string Month(YearMonth month) =>
        month.ToString("MMMM uuuu", CultureInfo.InvariantCulture);

    public static string Where(DemoYear year)
    {
        var place = year.Household.Lawn.Place;
        return $"{place.Name}, {place.State}";
    }

    public static IEnumerable<IGrouping<YearMonth, DemoDay>> Months(DemoYear year) =>
        year.Days.GroupBy(d => d.Date.ToYearMonth());

    public static (string Style, string Sign, string Words) Verdict(MowingVerdict verdict) =>
        verdict switch
        {
            MowingVerdict.MowNow => ("now", "●", "mow now"),
            MowingVerdict.MowFrom => ("from", "◐", "mow from a later hour"),
            MowingVerdict.Wait => ("wait", "–", "wait"),
            _ => ("not", "×", "not today"),
        };

    public static string Page(string title, string body) =>
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
