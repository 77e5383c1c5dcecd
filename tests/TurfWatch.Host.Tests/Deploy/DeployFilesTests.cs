using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using TurfWatch.Host.Configuration;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Deploy;

/// <summary>
/// What we require of the files in deploy/: units that systemd itself finds sound, containers that run without root, on
/// a read-only root, with nothing secret inside.
/// </summary>
public sealed partial class DeployFilesTests : IDisposable
{
    // systemd 252's own measure, 0 (safe) to 10; it rates 1.4. What is left is the network, which the service needs.
    private const double MostExposed = 1.5;

    // The service gives a message in flight 25 s (ServiceHost).
    private const int LongestDrainS = 30;

    private readonly Scratch _scratch = new();

    public static TheoryData<string> Units => ["turfwatch.service", "turfwatch@.service"];

    public static TheoryData<string> All =>
        [.. Directory.GetFiles(Folder).Select(f => Path.GetFileName(f)!)];

    private static string Folder => Path.Combine(Repository.Root, "deploy");

    public void Dispose() => _scratch.Dispose();

    [Theory]
    [MemberData(nameof(Units))]
    public async Task Systemd_finds_the_unit_sound_and_little_exposed(string unit)
    {
        var analyze = Needs.Program("systemd-analyze", "systemd");
        // The program is not installed here; systemd looks whether it is.
        var text = Read(unit)
            .Replace("/opt/turfwatch/turfwatch", "/bin/true", StringComparison.Ordinal);
        var path = _scratch.Write(unit.Replace("@", "@1", StringComparison.Ordinal), text);

        var (exit, told) = await RunAsync(analyze, "verify", "--man=no", path);
        Assert.True(exit == 0 && told.Length == 0, told);

        (_, told) = await RunAsync(analyze, "security", "--offline=true", "--no-pager", path);
        var level = double.Parse(
            LevelForm().Match(told).Groups[1].Value,
            CultureInfo.InvariantCulture
        );
        Assert.InRange(level, 0, MostExposed);
    }

    [Theory]
    [MemberData(nameof(Units))]
    public void The_unit_waits_for_the_mail_in_flight_and_lets_the_runtime_compile(string unit)
    {
        var lines = Read(unit).Split('\n');
        var stop = lines.Single(l => l.StartsWith("TimeoutStopSec=", StringComparison.Ordinal));

        Assert.Contains("Type=notify", lines);
        Assert.Contains("Restart=on-failure", lines);
        Assert.True(int.Parse(stop.Split('=')[1], CultureInfo.InvariantCulture) > LongestDrainS);
        // .NET crashes under it, with W^X on or off.
        Assert.DoesNotContain(
            lines,
            l => l.StartsWith("MemoryDenyWriteExecute=", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Both_units_are_walled_in_alike()
    {
        Assert.Equal(Walls("turfwatch.service"), Walls("turfwatch@.service"));

        static IEnumerable<string> Walls(string unit) =>
            Read(unit)
                .Split('\n')
                .SkipWhile(l => l != "NoNewPrivileges=yes")
                .Where(l => l.Length > 0 && l[0] != '#');
    }

    [Theory]
    [MemberData(nameof(All))]
    public void Every_option_that_is_set_is_one_of_the_program(string file)
    {
        var known = OptionsCatalog
            .All.SelectMany(o => o.Keys)
            .SelectMany(k => (string[])[k.Key, k.Key + "File"])
            .ToHashSet(StringComparer.Ordinal);

        Assert.All(
            OptionForm().Matches(Read(file)),
            m =>
                Assert.Contains(
                    m.Groups[1].Value.Replace("__", ":", StringComparison.Ordinal),
                    known
                )
        );
    }

    [Theory]
    [MemberData(nameof(All))]
    public void No_secret_is_written_anywhere_only_where_its_file_is(string file) =>
        Assert.All(
            SecretForm().Matches(Read(file)),
            m => Assert.True(m.Value.Contains('/', StringComparison.Ordinal), m.Value)
        );

    [Fact]
    public void The_image_runs_without_root_and_looks_after_its_health()
    {
        var lines = Read("Dockerfile").Split('\n');
        var bases = lines.Where(l => l.StartsWith("FROM ", StringComparison.Ordinal)).ToList();
        var last = lines[(Array.LastIndexOf(lines, bases[^1]) + 1)..];

        Assert.Equal(2, bases.Count);
        Assert.All(bases, l => Assert.Matches(@"^FROM \S+:\d\S*( AS \w+)?$", l));
        Assert.Contains(last, l => UserForm().IsMatch(l));
        Assert.Contains(
            last,
            l =>
                l.StartsWith("HEALTHCHECK ", StringComparison.Ordinal)
                && l.EndsWith("CMD [\"turfwatch\", \"healthcheck\"]", StringComparison.Ordinal)
        );
        // No secret can be in a layer: nothing but the program is copied into the image.
        Assert.Equal(
            ["COPY --from=build /app /opt/turfwatch"],
            last.Where(l =>
                l.StartsWith("COPY", StringComparison.Ordinal)
                || l.StartsWith("ADD", StringComparison.Ordinal)
            )
        );
    }

    // pg_dump refuses a server that is newer than itself (its manual page).
    [Fact]
    public void The_image_has_the_client_programs_of_the_server_that_it_is_composed_with()
    {
        var client = ClientForm().Match(Read("Dockerfile")).Groups[1].Value;
        var server = ServerForm().Match(Read("compose.yaml")).Groups[1].Value;

        Assert.Matches(@"^\d+$", client);
        Assert.Equal(client, server);
    }

    [Fact]
    public void The_workers_of_the_composition_are_read_only_and_without_rights()
    {
        var text = Read("compose.yaml");
        var worker = text[
            text.IndexOf("x-worker:", StringComparison.Ordinal)..text.IndexOf(
                "\nservices:",
                StringComparison.Ordinal
            )
        ];

        Assert.Contains("\n  read_only: true\n", worker, StringComparison.Ordinal);
        Assert.Contains("\n  cap_drop:\n    - ALL\n", worker, StringComparison.Ordinal);
        Assert.Contains("no-new-privileges:true", worker, StringComparison.Ordinal);
        Assert.Equal(
            2,
            Regex.Count(text, @"<<: \*worker", RegexOptions.None, TimeSpan.FromSeconds(1))
        );
        // Published to this machine only: a web server with https stands before them.
        Assert.All(
            PortForm().Matches(text),
            m => Assert.StartsWith("127.0.0.1:", m.Groups[1].Value, StringComparison.Ordinal)
        );
        Assert.All(ImageForm().Matches(text), m => Assert.Matches(@":\d", m.Groups[1].Value));
    }

    private static string Read(string file) => File.ReadAllText(Path.Combine(Folder, file));

    private static async Task<(int Exit, string Told)> RunAsync(
        string program,
        params string[] args
    )
    {
        var start = new ProcessStartInfo(program, args)
        {
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using var process = Process.Start(start)!;
        var cancel = TestContext.Current.CancellationToken;
        var error = process.StandardError.ReadToEndAsync(cancel);
        var output = await process.StandardOutput.ReadToEndAsync(cancel);
        await process.WaitForExitAsync(cancel);
        return (process.ExitCode, output + await error);
    }

    [GeneratedRegex(@"postgresql-client-(\d+)")]
    private static partial Regex ClientForm();

    [GeneratedRegex(@"image: postgres:(\d+)")]
    private static partial Regex ServerForm();

    [GeneratedRegex(@"Overall exposure level for \S+: ([\d.]+)", RegexOptions.None, 1000)]
    private static partial Regex LevelForm();

    [GeneratedRegex(@"TurfWatch__(\w+)", RegexOptions.None, 1000)]
    private static partial Regex OptionForm();

    [GeneratedRegex(@"(?:PASSWORD|SECRET|TOKEN|Password)\w*[=:] ?\S+", RegexOptions.None, 1000)]
    private static partial Regex SecretForm();

    [GeneratedRegex(@"^USER [1-9]\d+(:[1-9]\d+)?$", RegexOptions.None, 1000)]
    private static partial Regex UserForm();

    [GeneratedRegex(@"^\s+- ""([\d.:]+)""$", RegexOptions.Multiline, 1000)]
    private static partial Regex PortForm();

    [GeneratedRegex(@"^\s+image: (\S+)$", RegexOptions.Multiline, 1000)]
    private static partial Regex ImageForm();
}
