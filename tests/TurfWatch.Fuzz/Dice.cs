namespace TurfWatch.Fuzz;

/// <summary>Numbers that look drawn, the same for the same seed on every machine (SplitMix64: Steele, Lea and Flood 2014, constants from memory).</summary>
internal sealed class Dice(ulong seed)
{
    private ulong _state = seed;

    public ulong Next()
    {
        _state += 0x9E3779B97F4A7C15;
        var z = _state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    /// <summary>From 0 up to, but without, <paramref name="end"/>.</summary>
    public int Below(int end) => (int)(Next() % (ulong)end);

    public bool OneIn(int n) => Below(n) == 0;

    public T Of<T>(IReadOnlyList<T> choices) => choices[Below(choices.Count)];
}
