namespace TurfWatch.Host.Demo;

/// <summary>Seeded chance: the same seed draws the same year.</summary>
internal sealed class Dice(int seed)
{
    private readonly Random _random = new(seed);

    /// <summary>Even over 0 to 1.</summary>
    public double Even() => _random.NextDouble();

    /// <summary>Mean 0, standard deviation 1 (Box and Muller).</summary>
    public double Normal() =>
        Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble()))
        * Math.Cos(2 * Math.PI * _random.NextDouble());

    /// <summary>Exponential with mean 1.</summary>
    public double Waiting() => -Math.Log(1 - _random.NextDouble());
}
