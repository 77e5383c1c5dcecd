using System.Xml.Linq;
using ArchUnitNET.Domain;
using ArchUnitNET.Fluent;
using ArchUnitNET.Loader;
using TurfWatch.Core;
using Xunit;
using static ArchUnitNET.Fluent.ArchRuleDefinition;

namespace TurfWatch.Host.Tests.Architecture;

/// <summary>Holds the project files and namespaces to the import table in docs/architecture.md.</summary>
public sealed class ImportTableTests
{
    private static readonly Dictionary<string, string[]> Projects = new(StringComparer.Ordinal)
    {
        ["TurfWatch.Core"] = [],
        ["TurfWatch.Weather"] = ["TurfWatch.Core"],
        ["TurfWatch.Store"] = ["TurfWatch.Core"],
        ["TurfWatch.Mail"] = ["TurfWatch.Core"],
        ["TurfWatch.Host"] =
        [
            "TurfWatch.Core",
            "TurfWatch.Weather",
            "TurfWatch.Store",
            "TurfWatch.Mail",
        ],
    };

    private static readonly Dictionary<string, string[]> Packages = new(StringComparer.Ordinal)
    {
        ["TurfWatch.Core"] = ["NodaTime"],
        ["TurfWatch.Weather"] = ["Microsoft.Extensions.Http.Resilience", "Refit.HttpClientFactory"],
        ["TurfWatch.Store"] = ["Dapper", "Microsoft.Data.Sqlite", "Npgsql"],
        ["TurfWatch.Mail"] =
        [
            "Fluid.Core",
            "MailKit",
            "SkiaSharp",
            "SkiaSharp.NativeAssets.Linux.NoDependencies",
        ],
        ["TurfWatch.Host"] =
        [
            "DnsClient",
            "Ical.Net",
            "Microsoft.Extensions.Hosting.Systemd",
            "OpenTelemetry.Exporter.OpenTelemetryProtocol",
            "OpenTelemetry.Exporter.Prometheus.AspNetCore",
            "OpenTelemetry.Extensions.Hosting",
            "Quartz",
            "Spectre.Console",
            "System.CommandLine",
        ],
    };

    private static readonly ArchUnitNET.Domain.Architecture Core = new ArchLoader()
        .LoadAssemblies(typeof(Place).Assembly)
        .Build();

    public static TheoryData<string> ProjectNames => [.. Projects.Keys];

    [Theory]
    [MemberData(nameof(ProjectNames))]
    public void A_project_references_only_what_the_table_allows(string project)
    {
        var file = XDocument.Load(ProjectFile(project));

        Assert.Equal(
            Projects[project].Order(StringComparer.Ordinal),
            Included(file, "ProjectReference")
                .Select(path => Path.GetFileNameWithoutExtension(path))
                .Order(StringComparer.Ordinal)
        );
        Assert.Equal(
            Packages[project].Order(StringComparer.Ordinal),
            Included(file, "PackageReference").Order(StringComparer.Ordinal)
        );
    }

    [Fact]
    public void Every_project_of_src_is_in_the_table() =>
        Assert.Equal(
            Projects.Keys.Order(StringComparer.Ordinal),
            Directory
                .EnumerateFiles(
                    Path.Combine(Repository.Root, "src"),
                    "*.csproj",
                    SearchOption.AllDirectories
                )
                .Select(path => Path.GetFileNameWithoutExtension(path)!)
                .Order(StringComparer.Ordinal)
        );

    [Fact]
    public void Physics_knows_neither_agronomy_nor_advice()
    {
        MustNotDepend("Physics", "Agronomy");
        MustNotDepend("Physics", "Advice");
    }

    [Fact]
    public void Agronomy_does_not_know_advice() => MustNotDepend("Agronomy", "Advice");

    [Fact]
    public void The_nouns_know_none_of_the_three() =>
        Holds(
            Types()
                .That()
                .ResideInNamespace("TurfWatch.Core")
                .Should()
                .NotDependOnAny(Types().That().ResideInNamespaceMatching(@"^TurfWatch\.Core\..+"))
        );

    [Fact]
    public void Every_namespace_of_core_is_a_folder_of_the_house() =>
        Assert.Equal(
            [
                "TurfWatch.Core",
                "TurfWatch.Core.Advice",
                "TurfWatch.Core.Advice.Digest",
                "TurfWatch.Core.Agronomy",
                "TurfWatch.Core.Agronomy.Windows",
                "TurfWatch.Core.Physics",
            ],
            Core.Types.Where(t => t.FullName.StartsWith("TurfWatch.", StringComparison.Ordinal))
                .Select(t => t.Namespace.FullName)
                .Distinct(StringComparer.Ordinal)
                .Order(StringComparer.Ordinal)
        );

    private static void MustNotDepend(string folder, string on) =>
        Holds(
            Types()
                .That()
                .ResideInNamespaceMatching($@"^TurfWatch\.Core\.{folder}(\..+)?$")
                .Should()
                .NotDependOnAny(
                    Types().That().ResideInNamespaceMatching($@"^TurfWatch\.Core\.{on}(\..+)?$")
                )
        );

    private static void Holds(IArchRule rule)
    {
        var broken = rule.Evaluate(Core).Where(r => !r.Passed).Select(r => r.Description).ToList();
        Assert.True(broken.Count == 0, string.Join('\n', broken));
    }

    private static string ProjectFile(string project) =>
        Path.Combine(Repository.Root, "src", project, project + ".csproj");

    private static IEnumerable<string> Included(XDocument file, string element) =>
        file.Descendants(element).Select(e => e.Attribute("Include")!.Value);
}
