using System.Diagnostics;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>What the season outlook of one cell and surface class costs, with twenty past years.</summary>
internal static class OneOutlook
{
    private const int Rounds = 8;
    private static readonly LocalDate Today = new(2026, 9, 1);

    public static void Run()
    {
        var site = BenchmarkWeather.Site(0);
        var zone = DateTimeZoneProviders.Tzdb["America/Chicago"];
        var hours = BenchmarkWeather.Hours(20 * 8766);
        var made = SiteModel.Run(site, BenchmarkWeather.Lawn, hours, hours.LastHourEnd).Conditions;
        var days = SiteDaysOf.Conditions(made, zone);
        var first = new LocalDate(2006, 1, 1);
        var years = new PastYears([
            .. Enumerable
                .Range(0, Math.Min(days.Count, 7304))
                .Select(i => new ClimateDay(
                    first.PlusDays(i),
                    days.AirMeanC[i],
                    days.AirMinC[i],
                    days.AirMaxC[i],
                    days.RainMm[i],
                    days.AirMinC[i] - 1,
                    3,
                    days.ShortwaveMJM2[i]
                )),
        ]);
        var soil = PastSoil.Run(site, BenchmarkWeather.Lawn, zone, years);
        var weather = HourlyFromDaily.Make(
            site.LatitudeDeg,
            site.LongitudeDeg,
            zone,
            [
                .. years
                    .Days.Select(d => d with { Date = d.Date.PlusYears(1) })
                    .Where(d => d.Date >= Today.PlusDays(-10) && d.Date < Today.PlusDays(7)),
            ]
        );
        var state = SiteModel
            .Run(site, BenchmarkWeather.Lawn, weather, zone.AtStartOfDay(Today).ToInstant())
            .StateToKeep;
        var past = soil.Slice(soil.First, soil.End);

        Console.WriteLine($"One cell and class, twenty past years (least of {Rounds})");
        Time(
            "days to hours, twenty years",
            () => HourlyFromDaily.Make(site.LatitudeDeg, site.LongitudeDeg, zone, years.Days)
        );
        Time("past soil, once", () => PastSoil.Run(site, BenchmarkWeather.Lawn, zone, years));
        Time(
            "outlook, each morning",
            () =>
                OutlookMaker.Make(
                    site,
                    BenchmarkWeather.Lawn,
                    zone,
                    Today,
                    past,
                    state,
                    weather,
                    years,
                    soil
                )
        );
        Console.WriteLine(
            $"  past years {years.Pack().Length / 1024} kB, their soil {soil.Pack().Length / 1024} kB"
        );
    }

    private static void Time(string what, Func<object> run)
    {
        double least = double.PositiveInfinity,
            used = double.PositiveInfinity;
        for (var i = 0; i < Rounds; i++)
        {
            var start = Stopwatch.GetTimestamp();
            var before = Environment.CpuUsage.TotalTime;
            GC.KeepAlive(run());
            least = Math.Min(least, Stopwatch.GetElapsedTime(start).TotalMilliseconds);
            used = Math.Min(used, (Environment.CpuUsage.TotalTime - before).TotalMilliseconds);
        }

        Console.WriteLine($"  {what, -36} {least, 8:0} ms clock {used, 8:0} ms processor");
    }
}
