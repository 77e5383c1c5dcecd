using System.Text.RegularExpressions;
using Xunit;

namespace TurfWatch.Host.Tests.Docs;

/// <summary>Every link from one page of the documentation to another leads to a page that is there, and to a heading of it.</summary>
public sealed partial class LinksTests
{
    public static TheoryData<string> Pages =>
        [
            .. Directory
                .EnumerateFiles(
                    Path.Combine(Repository.Root, "docs"),
                    "*.md",
                    SearchOption.AllDirectories
                )
                .Concat(Directory.EnumerateFiles(Repository.Root, "*.md"))
                .Select(path => Path.GetRelativePath(Repository.Root, path)),
        ];

    [Theory]
    [MemberData(nameof(Pages))]
    public void Links_lead_somewhere(string page)
    {
        var path = Path.Combine(Repository.Root, page);
        foreach (Match link in LinkForm().Matches(File.ReadAllText(path)))
        {
            var target = link.Groups[1].Value;
            if (target.Contains(':', StringComparison.Ordinal))
            {
                continue;
            }

            var parts = target.Split('#', 2);
            var file =
                parts[0].Length == 0
                    ? path
                    : Path.GetFullPath(parts[0], Path.GetDirectoryName(path)!);
            Assert.True(Path.Exists(file), $"{page} links to {target}, which is not there");
            if (parts.Length == 2)
            {
                Assert.True(
                    Anchors(file).Contains(parts[1], StringComparer.Ordinal),
                    $"{page} links to {target}, but no heading there is called so"
                );
            }
        }
    }

    /// <summary>The names that headings get: small letters, hyphens for spaces, no other signs.</summary>
    private static IEnumerable<string> Anchors(string file) =>
        HeadingForm()
            .Matches(File.ReadAllText(file))
            .Select(h =>
                string.Concat(
                        h.Groups[1]
                            .Value.Trim()
                            .ToLowerInvariant()
                            .Where(c => char.IsLetterOrDigit(c) || c is ' ' or '-' or '_')
                    )
                    .Replace(' ', '-')
            );

    [GeneratedRegex(@"\]\(([^)\s]+)\)", RegexOptions.None, 1000)]
    private static partial Regex LinkForm();

    [GeneratedRegex("^#+ (.+)$", RegexOptions.Multiline, 1000)]
    private static partial Regex HeadingForm();
}
