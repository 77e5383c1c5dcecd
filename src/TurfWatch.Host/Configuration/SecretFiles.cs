namespace TurfWatch.Host.Configuration;

/// <summary>
/// Lets any text option be read from a file: <c>Mail:Smtp:PasswordFile</c> fills
/// <c>Mail:Smtp:Password</c> with the file's content, without the line end.
/// </summary>
internal static class SecretFiles
{
    private const string Suffix = "File";

    public static void Apply(
        ConfigurationManager configuration,
        string folder,
        Func<string, bool> concerns,
        List<string> faults
    )
    {
        var keys = OptionsCatalog
            .All.SelectMany(o => o.Keys)
            .ToDictionary(k => k.Key, k => k.Property, StringComparer.OrdinalIgnoreCase);
        var found = new Dictionary<string, string?>(StringComparer.OrdinalIgnoreCase);
        foreach (var (key, value) in configuration.AsEnumerable())
        {
            if (
                string.IsNullOrEmpty(value)
                || !concerns(key)
                || Target(key, keys) is not { } target
            )
            {
                continue;
            }

            try
            {
                found[target] = File.ReadAllText(Path.GetFullPath(value, folder))
                    .TrimEnd('\r', '\n');
            }
            catch (Exception e)
                when (e is IOException or UnauthorizedAccessException or ArgumentException)
            {
                faults.Add(
                    $"{key} names '{value}', which cannot be read ({e.GetType().Name}); write the path of a file that holds only the secret."
                );
            }
        }

        configuration.AddInMemoryCollection(found);
    }

    /// <summary>The option that a key of the form <c>XFile</c> fills; null when it fills none.</summary>
    public static string? Target<T>(string key, Dictionary<string, T> known) =>
        !known.ContainsKey(key)
        && key.EndsWith(Suffix, StringComparison.OrdinalIgnoreCase)
        && known.ContainsKey(key[..^Suffix.Length])
            ? key[..^Suffix.Length]
            : null;
}
