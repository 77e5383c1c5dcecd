using BenchmarkDotNet.Attributes;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>
/// One hour of one site: soil column, energy balance, dew and frost, soil water, reference evapotranspiration. A year of hours is run
/// in turn, so that every season weighs.
/// </summary>
[MemoryDiagnoser]
public class SiteHourBenchmark
{
    public const int Year = 365 * 24;

    private readonly SiteHour[] _hours;
    private readonly SiteKernel _kernel;
    private readonly PlainSite _plain;
    private readonly double _pressureHPa;

    public SiteHourBenchmark()
    {
        var site = BenchmarkWeather.Site(0);
        var weather = BenchmarkWeather.Hours(Year);
        var surface = SurfaceParameters.For(BenchmarkWeather.Lawn, GroundCover.Turf);
        _hours = SiteForcing.Make(site, weather);
        _pressureHPa = Psychrometrics.PressureHPa(site.ElevationM);
        _kernel = new(surface, site.ElevationM, weather.WindHeightM);
        _plain = new(surface, site.ElevationM, weather.WindHeightM);
        FirstGuess.Fill(_kernel.State, site, surface, _hours, 1);
        _plain.State.CopyFrom(_kernel.State);
        _kernel.Load(_kernel.State);
    }

    [Benchmark(Baseline = true, OperationsPerInvoke = Year, Description = "plain baseline")]
    public double Plain()
    {
        double sum = 0;
        foreach (ref readonly var hour in _hours.AsSpan())
        {
            _plain.Step(hour);
            sum += Evapotranspiration(hour) + _plain.LeafC;
        }

        return sum;
    }

    [Benchmark(OperationsPerInvoke = Year, Description = "site model")]
    public double Model()
    {
        double sum = 0;
        foreach (ref readonly var hour in _hours.AsSpan())
        {
            _kernel.Step(hour);
            sum += Evapotranspiration(hour) + _kernel.LeafC;
        }

        return sum;
    }

    private double Evapotranspiration(in SiteHour hour) =>
        ReferenceEvapotranspiration.HourlyFao56Mm(
            new(
                hour.AirC,
                hour.VapourHPa,
                Fao56.WindAt2mMS(hour.WindMS, 10),
                hour.ShortwaveWM2,
                Radiation.CloudyShortwaveWM2(1, 100 * hour.Cloud),
                _pressureHPa
            )
        );
}
