using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>
/// Growth of one grass over the hours of a site, summed up once, so that the growth between any two instants is at hand.
/// Each hour grows at the rate of the 24 hours that end with it (<see cref="LeafGrowth.RateCmPerDay"/>): none with the
/// soil at 10 cm above the temperature at which the shoots stop, unknown when fewer than 18 of them are known.
/// </summary>
public sealed class GrowthCurve
{
    private const int DayHours = 24;
    private const int FewestHours = 18;

    private readonly SiteConditions _site;

    // Sums over the hours before an index.
    private readonly double[] _grown;
    private readonly int[] _known;

    /// <param name="site">The hours.</param>
    /// <param name="grass">The grass.</param>
    /// <param name="shade">Shade of the lawn.</param>
    /// <param name="nitrogen">Factor of the nitrogen given, at an instant; null means 1 (<see cref="NitrogenResponse"/>).</param>
    public GrowthCurve(
        SiteConditions site,
        Grass grass,
        Shade shade,
        Func<Instant, double>? nitrogen = null
    )
    {
        _site = site;
        _grown = new double[site.Count + 1];
        _known = new int[site.Count + 1];
        var air = new DayMeans(site.Weather[WeatherColumn.AirTemperatureC]);
        var light = new DayMeans(site.ShortwaveWM2);
        var soil = new DayMeans(site.SoilTemperature10CmC);
        for (var i = 0; i < site.Count; i++)
        {
            var rate =
                soil.At(i) > grass.ShootStopSoilC.Value
                    ? 0
                    : LeafGrowth.RateCmPerDay(
                        grass,
                        air.At(i),
                        light.At(i) * LeafGrowth.LightShare(shade) * 86_400 / 1e6,
                        site.AvailableWaterFraction[i]
                    );
            var isKnown = !double.IsNaN(rate);
            _known[i + 1] = _known[i] + (isKnown ? 1 : 0);
            _grown[i + 1] =
                _grown[i] + (isKnown ? rate * (nitrogen?.Invoke(site.HourEnd(i)) ?? 1) : 0);
        }
    }

    /// <summary>Growth between two instants, hours without data at the mean rate of the known ones.</summary>
    /// <returns>The growth; <see cref="Grown.Cm"/> is NaN when no hour is known.</returns>
    public Grown Between(Instant from, Instant to)
    {
        var hours = (to - from).TotalHours;
        if (hours <= 0)
        {
            return new(0, 1);
        }

        var first = Math.Clamp(_site.IndexOf(from + Duration.FromHours(1)), 0, _site.Count);
        var end = Math.Clamp(_site.IndexOf(to) + 1, first, _site.Count);
        var known = _known[end] - _known[first];
        return known == 0
            ? new(double.NaN, 0)
            : new(
                (_grown[end] - _grown[first]) / known * hours / DayHours,
                Math.Min(1, known / hours)
            );
    }

    // Means of the 24 hours that end with an hour, by sums over the hours before an index.
    private readonly struct DayMeans
    {
        private readonly double[] _sums;
        private readonly int[] _counts;

        public DayMeans(ReadOnlySpan<double> column)
        {
            _sums = new double[column.Length + 1];
            _counts = new int[column.Length + 1];
            for (var i = 0; i < column.Length; i++)
            {
                var known = !double.IsNaN(column[i]);
                _sums[i + 1] = _sums[i] + (known ? column[i] : 0);
                _counts[i + 1] = _counts[i] + (known ? 1 : 0);
            }
        }

        public double At(int index)
        {
            var first = Math.Max(0, index - DayHours + 1);
            var known = _counts[index + 1] - _counts[first];
            return known >= FewestHours ? (_sums[index + 1] - _sums[first]) / known : double.NaN;
        }
    }
}
