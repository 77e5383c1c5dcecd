using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>
/// Draws modelled soil temperatures towards an owner's readings: a Kalman filter of four states over the run.
/// </summary>
/// <remarks>
/// Truth = model + f + b + g·(model − its mean of the last 24 h) + p·(rate of the model), with f an error of the column that fades
/// as the column itself forgets a shift of its upper layers (3 days), b a slow bias of site and model (60 days), g an error
/// of the daily swing and p one of its hour (a year each), so that a reading in the afternoon is not taken for the day's error. Each is a
/// first-order Markov process at its own standard deviation (Gelb 1974, Applied Optimal Estimation, ch. 3 and 4):
/// <c>x ← a x</c>, <c>P ← a P a + P∞(1 − a²)</c>, a = exp(−1 h/τ); at a reading <c>K = P H/(HᵀP H + R)</c>.
/// The corrections are added to what the column gave, not to the column: conduction is linear, and lawns of one class go on
/// sharing one run. Standard deviations and times: judgement, checked in docs/science/validation.md. Readings
/// act from their hour on; there is nothing to store, since the journal holds them.
/// </remarks>
public static class SoilCorrection
{
    /// <summary>Standard deviation of the part that fades in days [°C].</summary>
    internal const double FastStdDevC = 1.0;

    /// <summary>Standard deviation of the slow bias [°C].</summary>
    internal const double SlowStdDevC = 1.0;

    private const double SwingStdDev = 0.3;
    private const double PhaseStdDevH = 1;
    private const int States = 4;

    // A household thermometer, and one spot of the lawn for all of it.
    private const double ReadingStdDevC = 0.5;

    // A reading further off than this many standard deviations is a slip of the pen or of the unit.
    private const double MostDeviations = 5;

    private const int FewestHours = 12;

    private static readonly double[] Rest =
    [
        FastStdDevC * FastStdDevC,
        SlowStdDevC * SlowStdDevC,
        SwingStdDev * SwingStdDev,
        PhaseStdDevH * PhaseStdDevH,
    ];

    private static readonly double[] Keep =
    [
        Math.Exp(-1 / (3 * 24.0)),
        Math.Exp(-1 / (60 * 24.0)),
        Math.Exp(-1 / (365 * 24.0)),
        Math.Exp(-1 / (365 * 24.0)),
    ];

    /// <summary>Corrects a run; without readings in it, the run itself.</summary>
    /// <param name="run">What the physics found; left as it is.</param>
    /// <param name="readings">Readings in any order; those outside the run, at hours that were not run, or further off than five standard deviations are left out.</param>
    public static SiteConditions Apply(SiteConditions run, IReadOnlyList<SoilReading> readings)
    {
        foreach (var reading in readings)
        {
            Guard.Range(reading.TemperatureC, -40, 70, "TemperatureC", "give °C");
            Guard.Range(reading.DepthM, 0.03, 0.15, "DepthM", "give metres");
            Guard.Range(reading.HoursUnsure, 0, 12, "HoursUnsure", "give hours");
        }

        var due = readings
            .Select(r => (Hour: run.IndexOf(r.At), Reading: r))
            .Where(r =>
                !double.IsNaN(r.Reading.TemperatureC)
                && r.Hour >= 0
                && r.Hour < run.Count
                && !double.IsNaN(run.SoilTemperature10CmC[r.Hour])
            )
            .OrderBy(r => r.Hour)
            .ToList();
        return due.Count == 0 ? run : Filter(run, due);
    }

    private static SiteConditions Filter(
        SiteConditions run,
        List<(int Hour, SoilReading Reading)> due
    )
    {
        var five = (double[])run.SoilTemperature5CmC.Clone();
        var ten = (double[])run.SoilTemperature10CmC.Clone();
        var deviation = (double[])run.SoilTemperatureStdDevC.Clone();
        var mean5 = TrailingMean(run.SoilTemperature5CmC);
        var mean10 = TrailingMean(run.SoilTemperature10CmC);
        var used = new List<SoilReading>();
        var rate5 = Rate(run.SoilTemperature5CmC);
        var rate10 = Rate(run.SoilTemperature10CmC);
        var state = new double[States];
        var doubt = new double[States, States];
        for (var s = 0; s < States; s++)
        {
            doubt[s, s] = Rest[s];
        }

        var next = 0;
        for (var i = due[0].Hour; i < run.Count; i++)
        {
            if (i > due[0].Hour)
            {
                Fade(state, doubt);
            }

            for (; next < due.Count && due[next].Hour == i; next++)
            {
                var reading = due[next].Reading;
                var share = (reading.DepthM - 0.05) / 0.05;
                double Mix(double[] at5, double[] at10, int k) =>
                    at5[k] + (share * (at10[k] - at5[k]));
                double Model(int k) => Mix(run.SoilTemperature5CmC, run.SoilTemperature10CmC, k);
                var model = Model(i);
                var swing = model - Mix(mean5, mean10, i);
                var noise = ReadingStdDevC * ReadingStdDevC;
                if (reading.HoursUnsure > 0)
                {
                    var slope = Spread(Model, i, reading.HoursUnsure, run.Count);
                    noise += slope * slope;
                }

                double[] seen = [1, 1, swing, Mix(rate5, rate10, i)];
                if (Update(state, doubt, reading.TemperatureC - model, seen, noise))
                {
                    used.Add(reading);
                }
            }

            var shift = state[0] + state[1];
            five[i] +=
                shift
                + (state[2] * (run.SoilTemperature5CmC[i] - mean5[i]))
                + (state[3] * rate5[i]);
            ten[i] +=
                shift
                + (state[2] * (run.SoilTemperature10CmC[i] - mean10[i]))
                + (state[3] * rate10[i]);
            var gained = Rest[0] + Rest[1] - (doubt[0, 0] + doubt[1, 1] + (2 * doubt[0, 1]));
            deviation[i] = Math.Sqrt(
                Math.Max(0.25, (deviation[i] * deviation[i]) - Math.Max(0, gained))
            );
        }

        return run with
        {
            SoilTemperature5CmC = five,
            SoilTemperature10CmC = ten,
            SoilTemperatureStdDevC = deviation,
            Readings = used,
        };
    }

    private static void Fade(double[] state, double[,] doubt)
    {
        for (var r = 0; r < States; r++)
        {
            state[r] *= Keep[r];
            for (var c = 0; c < States; c++)
            {
                doubt[r, c] *= Keep[r] * Keep[c];
            }

            doubt[r, r] += Rest[r] * (1 - (Keep[r] * Keep[r]));
        }
    }

    private static bool Update(
        double[] state,
        double[,] doubt,
        double offset,
        double[] seen,
        double noise
    )
    {
        var gain = new double[States];
        double variance = noise,
            expected = 0;
        for (var r = 0; r < States; r++)
        {
            for (var c = 0; c < States; c++)
            {
                gain[r] += doubt[r, c] * seen[c];
            }

            variance += seen[r] * gain[r];
            expected += seen[r] * state[r];
        }

        var surprise = offset - expected;
        if (surprise * surprise > MostDeviations * MostDeviations * variance)
        {
            return false;
        }

        for (var r = 0; r < States; r++)
        {
            state[r] += gain[r] * surprise / variance;
            for (var c = 0; c < States; c++)
            {
                doubt[r, c] -= gain[r] * gain[c] / variance;
            }
        }

        return true;
    }

    // Standard deviation of the model over the hours that the reading may have been taken in.
    private static double Spread(Func<int, double> model, int i, double hours, int count)
    {
        var reach = (int)Math.Ceiling(hours);
        var from = Math.Max(0, i - reach);
        var until = Math.Min(count - 1, i + reach);
        var rate = (model(until) - model(from)) / Math.Max(1, until - from);
        return double.IsNaN(rate) ? 2 : hours * Math.Abs(rate);
    }

    // Change per hour, over the hours on either side; 0 where neither is known.
    private static double[] Rate(double[] values)
    {
        var result = new double[values.Length];
        for (var i = 0; i < values.Length; i++)
        {
            double before = i > 0 ? values[i] - values[i - 1] : double.NaN,
                after = i + 1 < values.Length ? values[i + 1] - values[i] : double.NaN;
            result[i] =
                double.IsNaN(before) ? (double.IsNaN(after) ? 0 : after)
                : double.IsNaN(after) ? before
                : (before + after) / 2;
        }

        return result;
    }

    private static double[] TrailingMean(double[] values)
    {
        var result = new double[values.Length];
        double sum = 0;
        var known = 0;
        for (var i = 0; i < values.Length; i++)
        {
            Take(i, 1);
            if (i >= 24)
            {
                Take(i - 24, -1);
            }

            result[i] = known >= FewestHours ? sum / known : values[i];
        }

        return result;

        void Take(int k, int sign)
        {
            if (!double.IsNaN(values[k]))
            {
                sum += sign * values[k];
                known += sign;
            }
        }
    }
}
