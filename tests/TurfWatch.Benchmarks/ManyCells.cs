using System.Diagnostics;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>The central run of eight forecast days for ten thousand cells, on two cores.</summary>
internal static class ManyCells
{
    private const int Cells = 10_000;
    private const int Hours = 8 * 24;
    private const int Cores = 2;

    // So many cells have weather of their own; the others take it in turn.
    private const int Weathers = 50;

    public static void Run()
    {
        var weather = new WeatherSeries[Weathers];
        for (var i = 0; i < Weathers; i++)
        {
            weather[i] = BenchmarkWeather.Hours(Hours, i, 90 + (3 * i));
        }

        Console.WriteLine($"{Cells} cells of {Hours} hours on {Cores} cores; least of 3 runs");
        Console.WriteLine("                                        clock     processor");
        var plain = Least(Cells / 100, cell => Plain(cell, weather[cell % Weathers]));
        Report("plain baseline (100 cells, times 100)", plain * 100);
        var central = Least(Cells, cell => Central(cell, weather[cell % Weathers]));
        Report("site model, central run", central);
        var whole = Least(Cells / 20, cell => Whole(cell, weather[cell % Weathers]));
        Report("with its ensemble (500 cells, times 20)", whole * 20);
        Console.WriteLine(
            $"plain baseline / central run, by processor time: {plain.Processor * 100 / central.Processor:0.0}"
        );
    }

    private static void Report(string what, Times times) =>
        Console.WriteLine($"{what, -40} {times.Clock, 6:0.00} s {times.Processor, 8:0.00} s");

    // On a busy machine the processor time tells more than the clock.
    private static Times Least(int cells, Func<int, double> run)
    {
        var least = new Times(double.PositiveInfinity, double.PositiveInfinity);
        for (var i = 0; i < 3; i++)
        {
            var start = Stopwatch.GetTimestamp();
            var used = Environment.CpuUsage.TotalTime;
            Parallel.For(
                0,
                cells,
                new ParallelOptions { MaxDegreeOfParallelism = Cores },
                cell => GC.KeepAlive(run(cell))
            );
            least = new(
                Math.Min(least.Clock, Stopwatch.GetElapsedTime(start).TotalSeconds),
                Math.Min(least.Processor, (Environment.CpuUsage.TotalTime - used).TotalSeconds)
            );
        }

        return least;
    }

    private readonly record struct Times(double Clock, double Processor)
    {
        public static Times operator *(Times times, double factor) =>
            new(times.Clock * factor, times.Processor * factor);
    }

    private static double Plain(int cell, WeatherSeries weather)
    {
        var (site, surface, hours) = Ready(cell, weather);
        var plain = new PlainSite(surface, site.ElevationM, weather.WindHeightM);
        FirstGuess.Fill(plain.State, site, surface, hours, 100);
        foreach (ref readonly var hour in hours.AsSpan())
        {
            plain.Step(hour);
        }

        return plain.LeafC;
    }

    private static double Central(int cell, WeatherSeries weather)
    {
        var (site, surface, hours) = Ready(cell, weather);
        var kernel = new SiteKernel(surface, site.ElevationM, weather.WindHeightM);
        FirstGuess.Fill(kernel.State, site, surface, hours, 100);
        kernel.Load(kernel.State);
        foreach (ref readonly var hour in hours.AsSpan())
        {
            kernel.Step(hour);
        }

        return kernel.LeafC;
    }

    private static double Whole(int cell, WeatherSeries weather) =>
        SiteModel
            .Run(BenchmarkWeather.Site(cell), BenchmarkWeather.Lawn, weather, weather.FirstHourEnd)
            .Conditions.CanopyTemperatureC[^1];

    private static (SiteDescription, SurfaceParameters, SiteHour[]) Ready(
        int cell,
        WeatherSeries weather
    )
    {
        var site = BenchmarkWeather.Site(cell);
        return (
            site,
            SurfaceParameters.For(BenchmarkWeather.Lawn, GroundCover.Turf),
            SiteForcing.Make(site, weather)
        );
    }
}
