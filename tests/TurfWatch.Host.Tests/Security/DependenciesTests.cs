using System.Text.Json;
using System.Xml.Linq;
using Xunit;

namespace TurfWatch.Host.Tests.Security;

/// <summary>
/// docs/dependencies.md lists each package that is restored, with the version and the licence that the package itself
/// tells. It is written by this test: what is missing in it stands in the file that the failure names.
/// </summary>
public sealed class DependenciesTests
{
    private const string Begin = "<!-- written by DependenciesTests: from here";
    private const string End = "<!-- to here -->";

    // Packages of before licence expressions name a file or an address; what stands there was read by hand.
    private static readonly Dictionary<string, string> ReadByHand = new(StringComparer.Ordinal)
    {
        ["CommandLineParser License.md"] = "MIT",
        ["Microsoft.DotNet.PlatformAbstractions LICENSE.TXT"] = "MIT",
        ["https://github.com/moodmosaic/Fare/blob/master/LICENSE"] = "MIT",
        ["https://github.com/jdevillard/JmesPath.Net/blob/master/LICENSE"] = "Apache-2.0",
        ["https://raw.githubusercontent.com/aspnet/AspNetCore/2.0.0/LICENSE.txt"] = "Apache-2.0",
        ["https://raw.githubusercontent.com/StefH/SimMetrics.Net/master/LICENSE"] = "Apache-2.0",
    };

    private static readonly HashSet<string> Permissive = new(StringComparer.Ordinal)
    {
        "MIT",
        "MIT-0",
        "Apache-2.0",
        "BSD-2-Clause",
        "BSD-3-Clause",
        "PostgreSQL",
        "0BSD",
        "ISC",
    };

    private sealed record Package(string Name, string Version, string Licence, string UsedBy);

    [Fact]
    public void The_page_lists_what_is_restored_with_version_and_licence()
    {
        var page = Path.Combine(Repository.Root, "docs/dependencies.md");
        var text = File.ReadAllText(page);
        var written = text[
            text.IndexOf(Begin, StringComparison.Ordinal)..text.IndexOf(
                End,
                StringComparison.Ordinal
            )
        ];
        var expected = Table();
        if (written.Trim() == expected.Trim())
        {
            return;
        }

        var file = Path.Combine(AppContext.BaseDirectory, "dependencies.md");
        File.WriteAllText(file, text.Replace(written, expected, StringComparison.Ordinal));
        var (now, before) = (expected.Split('\n'), written.Split('\n'));
        Assert.Fail(
            $"docs/dependencies.md is not what is restored. Look at the difference, above all at new licences, and copy {file} over it.\n"
                + string.Join('\n', now.Except(before).Select(l => $"+ {l}"))
                + string.Join('\n', before.Except(now).Select(l => $"\n- {l}"))
        );
    }

    [Fact]
    public void What_is_shipped_is_under_permissive_licences()
    {
        var odd = Restored("src").Where(p => !Permissive.Contains(p.Licence));
        Assert.Empty(odd.Select(p => $"{p.Name} {p.Version}: {p.Licence}"));
    }

    [Fact]
    public void Each_pinned_version_is_the_one_that_is_restored_or_is_not_used()
    {
        var props = XDocument.Load(Path.Combine(Repository.Root, "tests/Directory.Packages.props"));
        var shared = XDocument.Load(Path.Combine(Repository.Root, "src/Directory.Packages.props"));
        var pinned = new[] { props, shared }
            .SelectMany(x => x.Descendants())
            .Where(e => e.Name.LocalName is "PackageVersion" or "GlobalPackageReference")
            .ToDictionary(
                e => e.Attribute("Include")!.Value,
                e => e.Attribute("Version")!.Value,
                StringComparer.OrdinalIgnoreCase
            );
        var other = Restored("src", "tests")
            .Where(p => pinned.TryGetValue(p.Name, out var v) && v != p.Version)
            .Select(p => $"{p.Name} is pinned at {pinned[p.Name]}, restored {p.Version}");
        Assert.Empty(other);
    }

    private static string Table()
    {
        var shipped = Restored("src");
        var names = shipped.Select(p => p.Name).ToHashSet(StringComparer.Ordinal);
        var rest = Restored("tests").Where(p => !names.Contains(p.Name)).ToList();
        return $"""
            {Begin} -->
            ## In the program

            {Rows(shipped)}

            ## In the tests alone

            {Rows(rest)}

            """;
    }

    private static string Rows(IEnumerable<Package> packages) =>
        "| package | version | licence | asked for by |\n|---|---|---|---|\n"
        + string.Join(
            '\n',
            packages.Select(p => $"| {p.Name} | {p.Version} | {p.Licence} | {p.UsedBy} |")
        );

    /// <summary>What the last restore of the projects below these folders took.</summary>
    private static List<Package> Restored(params string[] folders)
    {
        var found = new SortedDictionary<string, Package>(StringComparer.OrdinalIgnoreCase);
        foreach (
            var file in folders
                .SelectMany(f => Directory.GetDirectories(Path.Combine(Repository.Root, f)))
                .Select(f => Path.Combine(f, "obj/project.assets.json"))
                .Where(File.Exists)
                .Order(StringComparer.Ordinal)
        )
        {
            using var assets = JsonDocument.Parse(File.ReadAllBytes(file));
            var root = assets.RootElement;
            var direct = root.GetProperty("project")
                .GetProperty("frameworks")
                .EnumerateObject()
                .SelectMany(f =>
                    f.Value.TryGetProperty("dependencies", out var d)
                        ? d.EnumerateObject().Select(p => p.Name)
                        : []
                )
                .ToHashSet(StringComparer.OrdinalIgnoreCase);
            var project = Path.GetFileName(Path.GetDirectoryName(Path.GetDirectoryName(file)))!;
            var store = root.GetProperty("packageFolders").EnumerateObject().First().Name;
            foreach (var library in root.GetProperty("libraries").EnumerateObject())
            {
                if (library.Value.GetProperty("type").GetString() != "package")
                {
                    continue;
                }

                var parts = library.Name.Split('/');
                var by = direct.Contains(parts[0]) ? project["TurfWatch.".Length..] : "";
                var before = found.GetValueOrDefault(parts[0]);
                found[parts[0]] = new(
                    parts[0],
                    parts[1],
                    before?.Licence
                        ?? Licence(
                            Path.Combine(store, library.Value.GetProperty("path").GetString()!)
                        ),
                    string.Join(", ", new[] { before?.UsedBy ?? "", by }.Where(u => u.Length > 0))
                );
            }
        }

        return [.. found.Values.Select(Shortened)];
    }

    // The analyzers are asked for by every project.
    private static Package Shortened(Package package) =>
        package.UsedBy.Length == 0 ? package with { UsedBy = "(another package)" }
        : package.UsedBy.Count(c => c == ',') > 2 ? package with { UsedBy = "every project" }
        : package;

    private static string Licence(string folder)
    {
        var nuspec = XDocument.Load(Directory.GetFiles(folder, "*.nuspec").Single());
        var licence = nuspec.Descendants().FirstOrDefault(e => e.Name.LocalName == "license");
        var address = nuspec.Descendants().FirstOrDefault(e => e.Name.LocalName == "licenseUrl");
        if (licence?.Attribute("type")?.Value == "expression")
        {
            return licence.Value;
        }

        var id = nuspec.Descendants().First(e => e.Name.LocalName == "id").Value;
        var named = licence is not null ? $"{id} {licence.Value}" : address?.Value ?? "";
        return ReadByHand.GetValueOrDefault(named, $"not named ({named})");
    }
}
