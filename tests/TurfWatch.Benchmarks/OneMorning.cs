using System.Diagnostics;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>What one lawn's morning costs: the first, which spins up on 92 days, and the next, which goes on from the kept state.</summary>
internal static class OneMorning
{
    private const int Past = 92 * 24;
    private const int Ahead = 48;
    private const int Rounds = 60;

    public static void Run()
    {
        var weather = BenchmarkWeather.Hours(Past + Ahead, firstDay: 60);
        var site = BenchmarkWeather.Site(0);
        var now = weather.HourEnd(Past - 1);
        var surface = SurfaceParameters.For(BenchmarkWeather.Lawn, GroundCover.Turf);
        var kept = SiteModel.Run(site, BenchmarkWeather.Lawn, weather, now).StateToKeep;
        var hours = SiteForcing.Make(site, weather);
        var recent = weather.Slice(kept.ValidAt - Duration.FromDays(3), weather.LastHourEnd);

        Console.WriteLine(
            $"One lawn, {Past / 24} days past and {Ahead} hours ahead (least of {Rounds})"
        );
        Time("hours made ready", () => SiteForcing.Make(site, weather));
        Time("central run, kernel alone", () => Central(site, surface, hours));
        Time(
            "first morning, whole",
            () => SiteModel.Run(site, BenchmarkWeather.Lawn, weather, now)
        );
        Time(
            "next morning, from the state kept",
            () => SiteModel.Run(site, BenchmarkWeather.Lawn, recent, now, kept)
        );
    }

    private static SiteKernel Central(
        SiteDescription site,
        SurfaceParameters surface,
        SiteHour[] hours
    )
    {
        var kernel = new SiteKernel(surface, site.ElevationM, 10);
        FirstGuess.Fill(kernel.State, site, surface, hours, 60);
        kernel.Load(kernel.State);
        foreach (ref readonly var hour in hours.AsSpan())
        {
            kernel.Step(hour);
        }

        return kernel;
    }

    private static void Time(string what, Func<object> run)
    {
        var least = double.PositiveInfinity;
        long bytes = 0;
        for (var i = 0; i < Rounds; i++)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            var start = Stopwatch.GetTimestamp();
            GC.KeepAlive(run());
            least = Math.Min(least, Stopwatch.GetElapsedTime(start).TotalMilliseconds);
            bytes = GC.GetAllocatedBytesForCurrentThread() - before;
        }

        Console.WriteLine($"  {what, -36} {least, 8:0.000} ms {bytes / 1024.0, 9:0} kB allocated");
    }
}
