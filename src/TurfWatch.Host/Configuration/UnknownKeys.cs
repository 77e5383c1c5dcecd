namespace TurfWatch.Host.Configuration;

/// <summary>Names the keys that no option reads: a misspelt key must not be passed over in silence.</summary>
internal static class UnknownKeys
{
    public static void Find(
        IConfiguration configuration,
        Func<string, bool> concerns,
        List<string> faults
    )
    {
        var known = OptionsCatalog
            .All.SelectMany(o => o.Keys)
            .ToDictionary(k => k.Key, k => k.Property, StringComparer.OrdinalIgnoreCase);
        foreach (var (key, value) in configuration.AsEnumerable())
        {
            if (value is null || !concerns(key) || IsKnown(key, known))
            {
                continue;
            }

            var near = Nearest(key, known.Keys);
            faults.Add(
                near is null
                    ? $"{key} is not an option of this program; remove it (docs/configuration.md lists them all)."
                    : $"{key} is not an option of this program; did you mean {near}?"
            );
        }
    }

    private static bool IsKnown(
        string key,
        Dictionary<string, System.Reflection.PropertyInfo> known
    ) =>
        known.ContainsKey(key)
        || SecretFiles.Target(key, known) is not null
        || (
            key.LastIndexOf(':') is > 0 and var cut
            && known.TryGetValue(key[..cut], out var property)
        );

    private static string? Nearest(string key, IEnumerable<string> known)
    {
        var most = Math.Max(2, key.Length / 4);
        // Keys of another length are farther away than that, so that long nonsense costs nothing.
        var best = known
            .Where(k => Math.Abs(k.Length - key.Length) <= most)
            .MinBy(k => Distance(key, k));
        return best is not null && Distance(key, best) <= most ? best : null;
    }

    /// <summary>Number of letters to add, drop or change (Levenshtein), case aside.</summary>
    internal static int Distance(string a, string b)
    {
        var row = Enumerable.Range(0, b.Length + 1).ToArray();
        for (var i = 1; i <= a.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var change =
                    diagonal
                    + (char.ToUpperInvariant(a[i - 1]) == char.ToUpperInvariant(b[j - 1]) ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.Min(change, 1 + Math.Min(row[j], row[j - 1]));
            }
        }

        return row[b.Length];
    }
}
