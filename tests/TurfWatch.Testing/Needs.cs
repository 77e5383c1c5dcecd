using Xunit.v3;

namespace TurfWatch.Testing;

/// <summary>
/// What a test needs of the machine. Where it is not there the test is skipped and says what was missing;
/// with TURFWATCH_TESTS_REQUIRE=all in the environment it fails instead.
/// </summary>
public static class Needs
{
    private static readonly string[] Folders =
    [
        .. (Environment.GetEnvironmentVariable("PATH") ?? "").Split(
            ':',
            StringSplitOptions.RemoveEmptyEntries
        ),
        "/usr/local/sbin",
        "/usr/sbin",
        "/sbin",
    ];

    /// <summary>The full path of an installed program.</summary>
    /// <param name="name">For example <c>smtp-sink</c>.</param>
    /// <param name="package">The Debian package that has it.</param>
    public static string Program(string name, string package)
    {
        var path = Folders.Select(f => Path.Combine(f, name)).FirstOrDefault(File.Exists);
        return path
            ?? throw Missing(
                $"the program {name} is not installed; try: apt-get install -y {package}"
            );
    }

    /// <summary>Anything else that the machine must offer.</summary>
    /// <param name="there">Whether it does.</param>
    /// <param name="otherwise">What is missing, as the end of "skipped since …".</param>
    public static void That(bool there, string otherwise)
    {
        if (!there)
        {
            throw Missing(otherwise);
        }
    }

    private static InvalidOperationException Missing(string what) =>
        string.Equals(
            Environment.GetEnvironmentVariable("TURFWATCH_TESTS_REQUIRE"),
            "all",
            StringComparison.OrdinalIgnoreCase
        )
            ? new($"TURFWATCH_TESTS_REQUIRE is 'all', but {what}")
            : new(DynamicSkipToken.Value + what);
}
