using TurfWatch.Core.Physics;

namespace TurfWatch.Benchmarks;

/// <summary>An implicit step of heat conduction, by the tridiagonal algorithm of the textbooks, on arrays made afresh.</summary>
internal sealed class PlainSoil(
    double[] conductivity,
    double[] capacity,
    double coverResistance,
    double stepS
)
{
    private readonly double[] _dz = SoilGrid.ThicknessM;

    /// <summary>What the surface sees of the soil: a conductance, and the temperature behind it.</summary>
    public (double Conductance, double Reference) Surface(double[] before)
    {
        // The top layer's temperature is linear in the flux let in: t(flux) = t(0) + slope·flux.
        var closed = After(before, 0)[0];
        var zero = new double[before.Length];
        var slope = After(zero, 1)[0];
        var resistance = (_dz[0] / (2 * conductivity[0])) + coverResistance;
        return (1 / (resistance + slope), closed);
    }

    /// <summary>Temperatures after the step with a flux let in at the top.</summary>
    public double[] After(double[] before, double flux)
    {
        var n = before.Length;
        var lower = new double[n];
        var diagonal = new double[n];
        var upper = new double[n];
        var right = new double[n];
        for (var i = 0; i < n; i++)
        {
            var storage = capacity[i] * _dz[i] / stepS;
            lower[i] = i == 0 ? 0 : -Between(i - 1);
            upper[i] = i == n - 1 ? 0 : -Between(i);
            diagonal[i] = storage - lower[i] - upper[i];
            right[i] = (storage * before[i]) + (i == 0 ? flux : 0);
        }

        for (var i = 1; i < n; i++)
        {
            var factor = lower[i] / diagonal[i - 1];
            diagonal[i] -= factor * upper[i - 1];
            right[i] -= factor * right[i - 1];
        }

        var after = new double[n];
        after[n - 1] = right[n - 1] / diagonal[n - 1];
        for (var i = n - 2; i >= 0; i--)
        {
            after[i] = (right[i] - (upper[i] * after[i + 1])) / diagonal[i];
        }

        return after;
    }

    private double Between(int i) =>
        1 / ((_dz[i] / (2 * conductivity[i])) + (_dz[i + 1] / (2 * conductivity[i + 1])));
}
