using NodaTime;

namespace TurfWatch.Weather.Places;

/// <summary>
/// Checks a time zone that a person typed. Only region names (America/Phoenix) are taken: bare offsets
/// and abbreviations (EST, Etc/GMT+5) know no daylight time and would shift the message in summer.
/// </summary>
internal static class ZoneNames
{
    private static readonly Dictionary<string, string> Spoken = new(
        StringComparer.OrdinalIgnoreCase
    )
    {
        ["eastern"] = "America/New_York",
        ["est"] = "America/New_York",
        ["edt"] = "America/New_York",
        ["et"] = "America/New_York",
        ["central"] = "America/Chicago",
        ["cst"] = "America/Chicago",
        ["cdt"] = "America/Chicago",
        ["ct"] = "America/Chicago",
        ["mountain"] = "America/Denver",
        ["mst"] = "America/Denver",
        ["mdt"] = "America/Denver",
        ["mt"] = "America/Denver",
        ["arizona"] = "America/Phoenix",
        ["pacific"] = "America/Los_Angeles",
        ["pst"] = "America/Los_Angeles",
        ["pdt"] = "America/Los_Angeles",
        ["pt"] = "America/Los_Angeles",
        ["alaska"] = "America/Anchorage",
        ["hawaii"] = "Pacific/Honolulu",
        ["hst"] = "Pacific/Honolulu",
        ["atlantic"] = "America/Puerto_Rico",
    };

    private static readonly string[] Regions =
    [
        .. DateTimeZoneProviders.Tzdb.Ids.Where(id =>
            id.Contains('/') && !id.StartsWith("Etc/", StringComparison.Ordinal)
        ),
    ];

    public static string? Find(string typed, out string? problem)
    {
        var wanted = typed.Trim().Replace(' ', '_');
        problem = null;
        if (
            Array.Find(Regions, id => id.Equals(wanted, StringComparison.OrdinalIgnoreCase)) is
            { } known
        )
        {
            return known;
        }

        problem =
            $"\"{typed.Trim()}\" is not a time zone that we know. Use a name of the IANA time zone database, such as {string.Join(" or ", Near(wanted))}.";
        return null;
    }

    private static string[] Near(string wanted)
    {
        var word = wanted.Split('_')[0];
        if (Spoken.TryGetValue(word, out var spoken))
        {
            return [spoken];
        }

        var city = wanted[(wanted.LastIndexOf('/') + 1)..];
        string[] near =
        [
            .. Regions
                .Select(id => (id, distance: Distance(id[(id.LastIndexOf('/') + 1)..], city)))
                .Where(x => x.distance <= Math.Max(1, city.Length / 3))
                .OrderBy(x => x.distance)
                .ThenBy(x => Distance(x.id, wanted))
                .Select(x => x.id)
                .Take(3),
        ];
        return near.Length > 0 ? near : ["America/New_York", "America/Phoenix"];
    }

    // Edits between two words (Levenshtein 1966), case aside.
    private static int Distance(string a, string b)
    {
        var row = Enumerable.Range(0, b.Length + 1).ToArray();
        for (var i = 1; i <= a.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var same = char.ToLowerInvariant(a[i - 1]) == char.ToLowerInvariant(b[j - 1]);
                var change = diagonal + (same ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.Min(change, Math.Min(row[j], row[j - 1]) + 1);
            }
        }

        return row[b.Length];
    }
}
