using System.Reflection;
using System.Text.RegularExpressions;
using Xunit;

namespace TurfWatch.Host.Tests.Security;

/// <summary>Regular expressions read what strangers write, so each has an end, and digits are those that numbers are read from.</summary>
public sealed partial class RegexTests
{
    private static readonly string[] Assemblies =
    [
        "TurfWatch.Core",
        "TurfWatch.Weather",
        "TurfWatch.Store",
        "TurfWatch.Mail",
        "turfwatch",
    ];

    public static TheoryData<string> Patterns =>
        [
            .. Generated()
                .Select(r => $"{r.Method.DeclaringType!.FullName}.{r.Method.Name}")
                .Distinct(StringComparer.Ordinal),
        ];

    [Theory]
    [MemberData(nameof(Patterns))]
    public void Every_expression_gives_up_after_a_second(string name)
    {
        var rule = Of(name);
        Assert.InRange(rule.MatchTimeoutMilliseconds, 1, 1000);
    }

    // \d takes the digits of every script, which no parser of numbers reads: "soil 61 １２:30" once ended in an exception.
    [Theory]
    [MemberData(nameof(Patterns))]
    public void No_expression_takes_digits_that_are_no_numbers(string name) =>
        Assert.DoesNotContain("\\d", Of(name).Pattern, StringComparison.Ordinal);

    [Fact]
    public void There_are_no_others() =>
        Assert.DoesNotContain(
            Directory
                .EnumerateFiles(
                    Path.Combine(Repository.Root, "src"),
                    "*.cs",
                    SearchOption.AllDirectories
                )
                .Where(f => !f.Contains("/obj/", StringComparison.Ordinal)),
            f => MadeByHand().IsMatch(File.ReadAllText(f))
        );

    private static GeneratedRegexAttribute Of(string name) =>
        Generated().First(r => $"{r.Method.DeclaringType!.FullName}.{r.Method.Name}" == name).Rule;

    private static IEnumerable<(MethodInfo Method, GeneratedRegexAttribute Rule)> Generated() =>
        Assemblies
            .SelectMany(a => Assembly.Load(a).GetTypes())
            .SelectMany(t =>
                t.GetMethods(BindingFlags.Static | BindingFlags.NonPublic | BindingFlags.Public)
            )
            .Select(m => (m, m.GetCustomAttribute<GeneratedRegexAttribute>()!))
            .Where(r => r.Item2 is not null);

    [GeneratedRegex(
        @"new Regex\(|Regex\.(Match|IsMatch|Replace|Split|Matches)\(",
        RegexOptions.None,
        10_000
    )]
    private static partial Regex MadeByHand();
}
