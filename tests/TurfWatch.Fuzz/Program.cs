using System.Globalization;
using System.Security.Cryptography;
using TurfWatch.Fuzz;

// Runs until every target named has had its inputs; what broke is written to --out, one file each.
var given = new Dictionary<string, string>(StringComparer.Ordinal)
{
    ["--target"] = "all",
    ["--inputs"] = "1000000",
    ["--seed"] = "1",
    ["--out"] = "out/fuzz",
};
for (var i = 0; i + 1 < args.Length && given.ContainsKey(args[i]); i += 2)
{
    given[args[i]] = args[i + 1];
}

var all = AllTargets.Make();
var names = given["--target"].Split(',');
var chosen =
    given["--target"] == "all"
        ? all
        : [.. all.Where(t => names.Contains(t.Name, StringComparer.Ordinal))];
if (
    chosen.Count == 0
    || !long.TryParse(given["--inputs"], CultureInfo.InvariantCulture, out var inputs)
    || !ulong.TryParse(given["--seed"], CultureInfo.InvariantCulture, out var seed)
    || args.Length % 2 != 0
    || args.Where((_, i) => i % 2 == 0).Any(a => !given.ContainsKey(a) && a != "--replay")
)
{
    await Console.Error.WriteLineAsync(
        $"""
        Usage: dotnet run -c Release --project tests/TurfWatch.Fuzz -- [--target all|NAME,NAME] [--inputs 1000000] [--seed 1] [--out out/fuzz]
               dotnet run -c Release --project tests/TurfWatch.Fuzz -- --target NAME --replay FILE
        Targets: {string.Join(", ", all.Select(t => t.Name))}
        """
    );
    return 2;
}

if (Array.IndexOf(args, "--replay") is >= 0 and var at)
{
    var found = FuzzRun.Replay(chosen[0], await File.ReadAllBytesAsync(args[at + 1]));
    Console.WriteLine(found is null ? "kept every promise" : $"{found.Why}\n{found.Trace}");
    return found is null ? 0 : 1;
}

Directory.CreateDirectory(given["--out"]);
using var box = new BlackBox(given["--out"]);
Console.WriteLine(
    "| target | inputs | s | slowest input | most memory | refused | kinds | broke |"
);
Console.WriteLine("|---|---|---|---|---|---|---|---|");
var broke = 0;
foreach (var target in chosen)
{
    var result = FuzzRun.Go(target, inputs, seed, box);
    Console.WriteLine(
        $"| {result.Target} | {result.Inputs:N0} | {result.Took.TotalSeconds:0} | {result.Slowest.TotalMilliseconds:0.0} ms | {result.MostAllocated / 1048576.0:0.0} MiB | {100.0 * result.Refused / result.Inputs:0} % | {result.Kinds} | {result.Findings.Count} |"
    );
    foreach (var finding in result.Findings)
    {
        broke++;
        var name = Convert.ToHexStringLower(SHA256.HashData(finding.Input))[..12];
        var folder = Directory.CreateDirectory(Path.Combine(given["--out"], target.Name));
        await File.WriteAllBytesAsync(Path.Combine(folder.FullName, name), finding.Input);
        await File.WriteAllTextAsync(
            Path.Combine(folder.FullName, $"{name}.txt"),
            $"{finding.Why}\n{finding.Trace}\n"
        );
        Console.WriteLine($"  {name}: {finding.Why}");
    }
}

return broke == 0 ? 0 : 1;
