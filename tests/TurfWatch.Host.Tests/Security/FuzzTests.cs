using TurfWatch.Fuzz;
using Xunit;

namespace TurfWatch.Host.Tests.Security;

/// <summary>
/// The short set of tests/TurfWatch.Fuzz, with other inputs each day: whatever the outside sends, each parser ends with
/// what it may end with. What once broke one is replayed in whole.
/// </summary>
public sealed class FuzzTests
{
    private const int Inputs = 2000;

    // Each of these goes over a connection or through a file.
    private const int CostlyInputs = 300;

    private static readonly string[] Costly = ["web", "hourly-csv", "settings", "answers"];

    // Other tests run beside this one; how long an input takes is judged by the long run.
    private static readonly IReadOnlyDictionary<string, FuzzTarget> Targets = AllTargets
        .Make()
        .ToDictionary(
            t => t.Name,
            t => t with { MostTime = TimeSpan.FromMinutes(1) },
            StringComparer.Ordinal
        );

    public static TheoryData<string> Names => [.. Targets.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void Whatever_comes_in_ends_as_it_may(string name)
    {
        var inputs = Costly.Contains(name, StringComparer.Ordinal) ? CostlyInputs : Inputs;
        var seed = (ulong)TimeProvider.System.GetUtcNow().DayOfYear;
        var result = FuzzRun.Go(Targets[name], inputs, seed);
        Assert.True(
            result.Findings.Count == 0,
            string.Join(
                '\n',
                result.Findings.Select(f =>
                    $"{f.Why}\n{f.Trace}\ninput: {Convert.ToBase64String(f.Input)}"
                )
            )
        );
    }

    [Fact]
    public void Every_target_has_seeds_and_what_was_found_belongs_to_one()
    {
        Assert.All(Targets.Values, t => Assert.NotEmpty(t.Seeds()));
        var found = Directory
            .GetDirectories(Path.Combine(AppContext.BaseDirectory, "Found"))
            .Select(f => Path.GetFileName(f)!);
        Assert.Empty(found.Except(Targets.Keys, StringComparer.Ordinal));
    }
}
