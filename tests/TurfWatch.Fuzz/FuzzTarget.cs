namespace TurfWatch.Fuzz;

/// <summary>One parser that meets the outside.</summary>
/// <param name="Name">Short and unique; the name of its folder of seeds.</param>
/// <param name="Run">Gives one input to the parser and checks what comes out; throws <see cref="BrokenPromiseException"/> when that must not be.</param>
/// <param name="Documented">The exceptions that the parser may throw; none other may come out.</param>
internal sealed record FuzzTarget(string Name, Action<byte[]> Run, params Type[] Documented)
{
    /// <summary>What an input may cost in memory [bytes allocated]: a fixed sum, and so much for each byte of it.</summary>
    public long MostBytes { get; init; } = 32L << 20;

    /// <summary>What one input may take, on an idle machine.</summary>
    public TimeSpan MostTime { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Longest input that is made.</summary>
    public int LongestInput { get; init; } = 64 * 1024;

    /// <summary>Even its seeds end with one of the exceptions.</summary>
    public bool RefusesAll { get; init; }

    /// <summary>Its inputs are JSON.</summary>
    public bool IsJson { get; init; }

    /// <summary>Words that mean something to this parser, for the mutator.</summary>
    public IReadOnlyList<string> Words { get; init; } = [];

    /// <summary>More seeds than its folder holds.</summary>
    public IReadOnlyList<byte[]> MoreSeeds { get; init; } = [];

    /// <summary>Well-made inputs of our own, which the others are made of.</summary>
    public IReadOnlyList<byte[]> Seeds()
    {
        var folder = Path.Combine(AppContext.BaseDirectory, "Seeds", Name);
        var files = Directory.Exists(folder) ? Directory.GetFiles(folder) : [];
        Array.Sort(files, StringComparer.Ordinal);
        return [.. files.Select(File.ReadAllBytes), .. MoreSeeds];
    }

    /// <summary>Inputs that once broke it, by file name; they are replayed first.</summary>
    public IReadOnlyList<(string Name, byte[] Input)> Found()
    {
        var folder = Path.Combine(AppContext.BaseDirectory, "Found", Name);
        var files = Directory.Exists(folder) ? Directory.GetFiles(folder) : [];
        Array.Sort(files, StringComparer.Ordinal);
        return [.. files.Select(f => (Path.GetFileName(f), File.ReadAllBytes(f)))];
    }

    public bool Allows(Exception e) => Array.Exists(Documented, t => t.IsInstanceOfType(e));
}

/// <summary>A parser gave out what it must never give out.</summary>
internal sealed class BrokenPromiseException(string message) : Exception(message);

internal static class Promise
{
    public static void Holds(bool promise, string otherwise)
    {
        if (!promise)
        {
            throw new BrokenPromiseException(otherwise);
        }
    }
}
