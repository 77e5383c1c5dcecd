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

        Console.WriteLine($"{Cells} cells of {Hours} hours, {Cores} cores (least of 3 runs)");
        var plain = Least(1, Cells / 100, cell => Plain(cell, weather[cell % Weathers])) * 100;
        Console.WriteLine(
            $"plain baseline, hours made ready by the model: {plain, 8:0.00} s of one core (100 cells, times 100)"
        );
        var stepped = Least(Cores, Cells, cell => Step(cell, weather[cell % Weathers]));
        Console.WriteLine($"site model, the same:                         {stepped, 8:0.00} s");
        var whole = Least(Cores, Cells / 20, cell => Whole(cell, weather[cell % Weathers])) * 20;
        Console.WriteLine(
            $"with the ensemble of {SiteEnsemble.Members}, ET and conditions:    {whole, 8:0.00} s (500 cells, times 20)"
        );
        Console.WriteLine($"plain / site model on one core: {plain / (stepped * Cores):0.0}");
    }

    private static double Least(int cores, int cells, Func<int, double> run)
    {
        var least = double.PositiveInfinity;
        for (var i = 0; i < 3; i++)
        {
            var start = Stopwatch.GetTimestamp();
            Parallel.For(
                0,
                cells,
                new ParallelOptions { MaxDegreeOfParallelism = cores },
                cell => GC.KeepAlive(run(cell))
            );
            least = Math.Min(least, Stopwatch.GetElapsedTime(start).TotalSeconds);
        }

        return least;
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

    private static double Step(int cell, WeatherSeries weather)
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
