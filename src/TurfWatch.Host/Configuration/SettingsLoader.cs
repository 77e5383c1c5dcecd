using System.Text.Json;
using Microsoft.Extensions.Configuration.Json;
using TurfWatch.Host.Telemetry;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Host.Configuration;

/// <summary>The configuration cannot be used; says everything that is wrong with it at once.</summary>
public sealed class SettingsException(IReadOnlyList<string> faults, string? file)
    : Exception(string.Join(Environment.NewLine, faults))
{
    public IReadOnlyList<string> Faults { get; } = faults;

    public string? File { get; } = file;
}

/// <summary>
/// Reads the configuration: defaults, then the file, then the environment
/// (<c>TurfWatch__Section__Key</c>), then secret files (<c>…KeyFile</c>). The later wins.
/// </summary>
public static class SettingsLoader
{
    public const string EnvironmentPrefix = "TurfWatch__";
    public const string FileVariable = "TURFWATCH_CONFIG";

    private static readonly string[] UsualFiles =
    [
        "config/turfwatch.json",
        "/etc/turfwatch/turfwatch.json",
    ];

    /// <param name="file">The file that was named, or null.</param>
    /// <param name="folder">The folder that relative paths are relative to.</param>
    /// <param name="overrides">Keys that win over everything.</param>
    /// <param name="sections">The top sections to read, for example "Store"; none means all. What is wrong in the others is passed over.</param>
    /// <exception cref="SettingsException">Something is wrong; all faults are in it.</exception>
    public static Settings Load(
        string? file,
        string folder,
        IReadOnlyDictionary<string, string?>? overrides = null,
        params string[] sections
    )
    {
        var faults = new List<string>();
        var path = Locate(file, folder, faults);
        var configuration = Read(path, overrides, faults);
        SecretFiles.Apply(configuration, folder, Concerns, faults);
        UnknownKeys.Find(configuration, Concerns, faults);
        var bound = OptionsCatalog
            .All.Where(options => Concerns(options.Section))
            .Select(options => OptionsBinder.Bind(options, configuration, faults))
            .ToList();
        OptionsBinder.Join(bound);
        faults.AddRange(bound.SelectMany(OptionsBinder.FaultsOf));
        if (bound.OfType<SenderOptions>().SingleOrDefault() is { } sender)
        {
            faults.AddRange(sender.Faults(bound.OfType<SmtpOptions>().Single()));
            faults.AddRange(bound.OfType<DkimOptions>().Single().Faults(sender));
        }

        if (bound.OfType<MetricsOptions>().SingleOrDefault() is { } metrics)
        {
            faults.AddRange(bound.OfType<WebOptions>().SelectMany(metrics.Faults));
        }

        return faults.Count == 0
            ? new Settings(bound, path, folder)
            : throw new SettingsException([.. faults.Distinct(StringComparer.Ordinal)], path);

        // A section that nobody knows concerns everyone: it may be a misspelt one.
        bool Concerns(string key) =>
            sections.Length == 0
            || sections.Contains(Top(key), StringComparer.OrdinalIgnoreCase)
            || !OptionsCatalog.All.Any(o =>
                string.Equals(Top(o.Section), Top(key), StringComparison.OrdinalIgnoreCase)
            );
    }

    private static string Top(string key) => key.Split(':', 2)[0];

    private static string? Locate(string? file, string folder, List<string> faults)
    {
        var named = file ?? Environment.GetEnvironmentVariable(FileVariable);
        if (!string.IsNullOrWhiteSpace(named))
        {
            var full = Path.GetFullPath(named, folder);
            if (File.Exists(full))
            {
                return full;
            }

            var who = file is null ? $"the variable {FileVariable}" : "--config";
            faults.Add(
                $"{who} names '{named}', but there is no such file; give the path of a file made from config/turfwatch.example.json."
            );
            return null;
        }

        return UsualFiles.Select(f => Path.GetFullPath(f, folder)).FirstOrDefault(File.Exists);
    }

    private static ConfigurationManager Read(
        string? path,
        IReadOnlyDictionary<string, string?>? overrides,
        List<string> faults
    )
    {
        var manager = new ConfigurationManager();
        if (path is not null)
        {
            try
            {
                using var stream = new MemoryStream(File.ReadAllBytes(path));
                manager.Add<JsonStreamConfigurationSource>(s => s.Stream = stream);
            }
            catch (Exception e)
                when (e
                        is FormatException
                            or JsonException
                            or InvalidDataException
                            or InvalidOperationException
                )
            {
                faults.Add(
                    $"{path} is not valid JSON: {(e.InnerException ?? e).Message.TrimEnd('.')}; mend that place (comments and trailing commas are allowed)."
                );
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                faults.Add(
                    $"{path} cannot be read: {e.Message.TrimEnd('.')}; check its permissions."
                );
            }
        }

        manager.AddEnvironmentVariables(EnvironmentPrefix);
        if (overrides is not null)
        {
            manager.AddInMemoryCollection(overrides);
        }

        return manager;
    }
}
