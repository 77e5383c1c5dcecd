using System.Collections.Immutable;

namespace TurfWatch.Core.Agronomy;

/// <summary>What one stretch between two mowings says of the growth.</summary>
/// <param name="ReckonedCm">Growth that the model reckons [cm].</param>
/// <param name="SeenCm">Growth that was measured [cm].</param>
public readonly record struct GrowthObservation(double ReckonedCm, double SeenCm);

/// <summary>How an owner's record corrects the growth rate of the model.</summary>
/// <param name="Factor">On the model's growth, <see cref="LeastFactor"/> to <see cref="MostFactor"/>.</param>
/// <param name="Error">Likely error of the corrected growth, as a share of it; <see cref="PriorError"/> without a record.</param>
/// <param name="Stretches">Stretches between mowings behind it.</param>
public readonly record struct GrowthCorrection(double Factor, double Error, int Stretches)
{
    /// <summary>Likely error of the growth model before a record has corrected it; judgement, no source.</summary>
    public const double PriorError = 0.35;

    /// <summary>The correction goes no lower.</summary>
    public const double LeastFactor = 0.4;

    /// <summary>The correction goes no higher.</summary>
    public const double MostFactor = 2.5;

    // All judgement. A stretch that says more than three times or less than a third of the model is a slip of
    // the pen or a lawn left alone; it pulls no harder than that.
    private const double FurthestLog = 1.0986;
    private const double RulerCm = 0.7;
    private const double Scatter = 0.2;
    private const double Together = 0.1;

    /// <summary>No record: the model as it stands.</summary>
    public static GrowthCorrection None { get; } = new(1, PriorError, 0);

    /// <summary>Whether the record says anything.</summary>
    public bool FromRecord => Stretches > 0;

    /// <summary>
    /// Bayes with normal errors in y = ln(seen/reckoned): the prior has mean 0 and deviation 0.35; the stretches scatter by
    /// 0.2 and the ruler's and mower's 0.7 cm, and may all be off together by 0.1. The larger of the assumed and the seen
    /// scatter counts.
    /// </summary>
    /// <remarks>Conjugate normal update with a common error (any text book of Bayesian statistics); the deviations are judgement.</remarks>
    /// <param name="observations">The stretches; those without growth on either side are left out.</param>
    public static GrowthCorrection Of(IEnumerable<GrowthObservation> observations)
    {
        var usable = observations
            .Where(o => o is { ReckonedCm: > 0, SeenCm: > 0 })
            .ToImmutableArray();
        if (usable.IsEmpty)
        {
            return None;
        }

        var scatter = Math.Max(Scatter, Spread([.. usable.Select(Log)]));
        double weights = 0,
            sum = 0;
        foreach (var o in usable)
        {
            var weight = 1 / ((scatter * scatter) + Math.Pow(RulerCm / o.SeenCm, 2));
            weights += weight;
            sum += weight * Log(o);
        }

        var record = 1 / ((1 / weights) + (Together * Together));
        var precision = (1 / (PriorError * PriorError)) + record;
        return new(
            Math.Clamp(Math.Exp(record * sum / weights / precision), LeastFactor, MostFactor),
            Math.Sqrt(1 / precision),
            usable.Length
        );
    }

    private static double Log(GrowthObservation o) =>
        Math.Clamp(Math.Log(o.SeenCm / o.ReckonedCm), -FurthestLog, FurthestLog);

    private static double Spread(ImmutableArray<double> values)
    {
        if (values.Length < 3)
        {
            return 0;
        }

        var mean = values.Average();
        return Math.Sqrt(values.Sum(v => (v - mean) * (v - mean)) / (values.Length - 1));
    }
}
