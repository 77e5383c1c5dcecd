using System.Diagnostics;
using System.Text.RegularExpressions;

namespace TurfWatch.Fuzz;

/// <summary>What a run over one target found.</summary>
internal sealed record FuzzResult(
    string Target,
    long Inputs,
    TimeSpan Took,
    TimeSpan Slowest,
    long MostAllocated,
    long Refused,
    int Kinds,
    IReadOnlyList<FuzzFinding> Findings
);

/// <summary>An input that broke a promise.</summary>
/// <param name="Why">What happened, one line.</param>
/// <param name="Input">The input.</param>
/// <param name="Trace">Where, when something was thrown.</param>
internal sealed record FuzzFinding(string Why, byte[] Input, string Trace);

/// <summary>Gives a target its inputs and judges how each ends.</summary>
internal static class FuzzRun
{
    private const int MostFindings = 20;

    public static FuzzResult Go(FuzzTarget target, long inputs, ulong seed, BlackBox? box = null)
    {
        var findings = new Dictionary<string, FuzzFinding>(StringComparer.Ordinal);
        var seeds = target.Seeds();
        var corpus = new Corpus(seeds);
        var mutator = new Mutator(target);
        var (slowest, most, refused) = (TimeSpan.Zero, 0L, 0L);
        var goodSeeds = 0;
        foreach (var input in seeds.Concat(target.Found().Select(f => f.Input)))
        {
            // Also compiles what is to be measured.
            goodSeeds += Judge(target, input, findings).End is null ? 1 : 0;
        }

        if (goodSeeds == 0 && !target.RefusesAll)
        {
            // Else everything that is made of them would end at the first door.
            findings.TryAdd("seeds", new($"{target.Name}: no seed is read", [], ""));
        }

        var started = Stopwatch.GetTimestamp();
        for (var n = 0L; n < inputs && findings.Count < MostFindings; n++)
        {
            var dice = new Dice(seed * 0x9E3779B97F4A7C15 + (ulong)n);
            dice.Next();
            var input = mutator.Make(dice, corpus);
            box?.Holds(target, input);
            var one = Judge(target, input, findings);
            corpus.Learn(input, one.End, one.Allocated);
            slowest = one.Took > slowest ? one.Took : slowest;
            most = Math.Max(most, one.Allocated);
            refused += one.End is null ? 0 : 1;
        }

        return new(
            target.Name,
            inputs,
            Stopwatch.GetElapsedTime(started),
            slowest,
            most,
            refused,
            corpus.Learned,
            [.. findings.Values]
        );
    }

    /// <summary>One input; null when it kept every promise.</summary>
    public static FuzzFinding? Replay(FuzzTarget target, byte[] input)
    {
        var findings = new Dictionary<string, FuzzFinding>(StringComparer.Ordinal);
        Judge(target, input, findings);
        return findings.Values.FirstOrDefault();
    }

    private static Ending Judge(
        FuzzTarget target,
        byte[] input,
        Dictionary<string, FuzzFinding> findings
    )
    {
        var one = Once(target, input);
        if (
            one.Took > target.MostTime
            || one.Allocated > target.MostBytes
            || one.End is RegexMatchTimeoutException
        )
        {
            // Other programs use the machine too, and first calls compile: only what happens again counts.
            for (var again = 0; again < 3; again++)
            {
                var other = Once(target, input);
                one = one with
                {
                    Took = other.Took < one.Took ? other.Took : one.Took,
                    Allocated = Math.Min(one.Allocated, other.Allocated),
                    End = one.End is RegexMatchTimeoutException ? other.End : one.End,
                };
            }
        }

        var why =
            one.End is BrokenPromiseException broken ? $"{target.Name}: {broken.Message}"
            : one.End is not null && !target.Allows(one.End)
                ? $"{target.Name}: {one.End.GetType().Name} in {Where(one.End)}"
            : one.Took > target.MostTime ? $"{target.Name}: too slow"
            : one.Allocated > target.MostBytes ? $"{target.Name}: too much memory"
            : null;
        if (why is not null)
        {
            findings.TryAdd(
                why,
                new(
                    $"{why} ({one.Took.TotalMilliseconds:0} ms, {one.Allocated / 1024} KiB)",
                    input,
                    one.End?.ToString() ?? ""
                )
            );
        }

        return one;
    }

    private static Ending Once(FuzzTarget target, byte[] input)
    {
        Exception? end = null;
        var before = GC.GetAllocatedBytesForCurrentThread();
        var started = Stopwatch.GetTimestamp();
        try
        {
            target.Run(input);
        }
#pragma warning disable CA1031 // Whatever comes out is what this is about.
        catch (Exception e)
#pragma warning restore CA1031
        {
            end = e;
        }

        return new(
            end,
            Stopwatch.GetElapsedTime(started),
            GC.GetAllocatedBytesForCurrentThread() - before
        );
    }

    // The innermost method of ours, so that one defect counts once.
    private static string Where(Exception e)
    {
        var frames = new StackTrace(e).GetFrames();
        var ours = Array.Find(
            frames,
            f =>
                f.GetMethod()
                    ?.DeclaringType?.Namespace?.StartsWith("TurfWatch.", StringComparison.Ordinal)
                == true
        );
        var method = (ours ?? frames.FirstOrDefault())?.GetMethod();
        return $"{method?.DeclaringType?.Name}.{method?.Name}";
    }

    private readonly record struct Ending(Exception? End, TimeSpan Took, long Allocated);
}
