namespace TurfWatch.Fuzz;

/// <summary>
/// What inputs are made of: the seeds, and each input that made the parser do what no input had made it do before. What
/// it did is told by how it ended and by how much it allocated, which differs from path to path: a poor man's coverage
/// that needs no instrumented build.
/// </summary>
internal sealed class Corpus(IReadOnlyList<byte[]> seeds)
{
    private const int Most = 2000;
    private const int LongestKept = 16 * 1024;

    private readonly List<byte[]> _inputs = [.. seeds];
    private readonly HashSet<long> _seen = [];

    /// <summary>How many it has learned.</summary>
    public int Learned => _inputs.Count - seeds.Count;

    public IReadOnlyList<byte[]> Inputs => _inputs;

    /// <summary>One to make another of: as often a seed as any, for what was learned is often half broken.</summary>
    public byte[] Draw(Dice dice) => dice.OneIn(2) ? dice.Of(seeds) : dice.Of(_inputs);

    public void Learn(byte[] input, Exception? end, long allocated)
    {
        var ending = end is null
            ? 0
            : HashCode.Combine(end.GetType(), end.TargetSite?.MetadataToken ?? 0);
        // Steps of an eighth of a doubling, beside the length of the input, which allocates by itself. Of what was refused
        // one of a kind is enough.
        var size = end is null ? (int)(8 * Math.Log2(allocated + 256)) : 0;
        var length = (int)(2 * Math.Log2(input.Length + 1));
        if (
            _inputs.Count < Most
            && input.Length <= LongestKept
            && _seen.Add(((long)ending << 32) | (uint)((size << 8) | length))
        )
        {
            _inputs.Add(input);
        }
    }
}
