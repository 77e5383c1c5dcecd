using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>
/// Growth of one grass over the hours of a site, from which the growth between any two instants is had; an hour's is worked out
/// when it is first asked for.
/// Each hour grows at the rate of the 24 hours that end with it (<see cref="LeafGrowth.RateCmPerDay"/>): none with the
/// soil at 10 cm above the temperature at which the shoots stop, unknown when fewer than 18 of them are known.
/// </summary>
public sealed class GrowthCurve
{
    private const int DayHours = 24;
    private const int FewestHours = 18;

    private readonly SiteConditions _site;
    private readonly Grass _grass;
    private readonly double _lightShare;
    private readonly Func<Instant, double>? _nitrogen;
    private readonly DayMeans _air;
    private readonly DayMeans _light;
    private readonly DayMeans _soil;

    // Growth in the hours asked for so far [cm/day]; NaN where it cannot be told.
    private readonly double[] _rates;
    private readonly bool[] _asked;

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
        (_site, _grass, _nitrogen) = (site, grass, nitrogen);
        _lightShare = LeafGrowth.LightShare(shade);
        _air = new(site.Weather[WeatherColumn.AirTemperatureC]);
        _light = new(site.ShortwaveWM2);
        _soil = new(site.SoilTemperature10CmC);
        _rates = new double[site.Count];
        _asked = new bool[site.Count];
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
        double sum = 0;
        var known = 0;
        for (var i = first; i < end; i++)
        {
            var rate = Rate(i);
            if (!double.IsNaN(rate))
            {
                sum += rate;
                known++;
            }
        }

        return known == 0
            ? new(double.NaN, 0)
            : new(sum / known * hours / DayHours, Math.Min(1, known / hours));
    }

    private double Rate(int i)
    {
        if (!_asked[i])
        {
            _asked[i] = true;
            _rates[i] =
                (_nitrogen?.Invoke(_site.HourEnd(i)) ?? 1)
                * (
                    _soil.At(i) > _grass.ShootStopSoilC.Value
                        ? 0
                        : LeafGrowth.RateCmPerDay(
                            _grass,
                            _air.At(i),
                            _light.At(i) * _lightShare * 86_400 / 1e6,
                            _site.AvailableWaterFraction[i]
                        )
                );
        }

        return _rates[i];
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
