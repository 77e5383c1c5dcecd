using TurfWatch.Core;

namespace TurfWatch.Weather.Places;

/// <summary>Any US ZIP code to its place, offline. The table is unpacked at the first question (some 20 ms).</summary>
public static class ZipDirectory
{
    private const int ZipLength = 5;
    private const int PlusFourLength = 4;

    private static readonly Lazy<ZipTable> Table = new(ZipTable.Load);

    /// <summary>
    /// Accepts five digits, with blanks around them or a ZIP+4 ending. The problem, when there is one,
    /// is written for the person who typed the code.
    /// </summary>
    public static ZipAnswer Lookup(string typed)
    {
        if (FiveDigits(typed) is not { } zip)
        {
            return new(
                null,
                $"\"{Shorten(typed)}\" is not a US ZIP code. Enter five digits with any leading zeros, such as 85719, or nine as 85719-1234."
            );
        }

        if (MilitaryMail(zip) is { } kind)
        {
            return new(
                null,
                $"{zip} is a military or diplomatic ZIP code ({kind}): mail goes there, but it has no place on the map and so no weather. Enter the ZIP code of the town in the United States where the lawn is."
            );
        }

        return Table.Value.Find(zip) is { } place
            ? new(place, null)
            : new(
                null,
                $"{zip} is not a ZIP code that we know. Check the digits; if it is new or serves a single building, enter a nearby one: the weather will be the same."
            );
    }

    /// <summary>The place with the owner's own time zone; see <see cref="ZoneNames"/> for what is taken.</summary>
    public static ZipAnswer WithZone(Place place, string zoneId) =>
        ZoneNames.Find(zoneId, out var problem) is { } known
            ? new(place with { ZoneId = known }, null)
            : new(null, problem);

    /// <summary>Every place in the table, in order of ZIP code.</summary>
    public static IEnumerable<Place> All() => Table.Value.All();

    private static string? FiveDigits(string typed)
    {
        var text = typed.Trim();
        var hasPlusFour =
            text.Length == ZipLength + 1 + PlusFourLength
            && text[ZipLength] is '-' or ' '
            && text[(ZipLength + 1)..].All(char.IsAsciiDigit);
        var zip = hasPlusFour ? text[..ZipLength] : text;
        return zip.Length == ZipLength && zip.All(char.IsAsciiDigit) ? zip : null;
    }

    // The three-digit prefixes that the Postal Service keeps for the armed forces (Publication 65).
    private static string? MilitaryMail(string zip) =>
        int.Parse(zip[..3]) switch
        {
            >= 90 and <= 98 => "Armed Forces Europe, AE",
            340 => "Armed Forces Americas, AA",
            >= 962 and <= 966 => "Armed Forces Pacific, AP",
            _ => null,
        };

    private static string Shorten(string typed) => typed.Length <= 20 ? typed : typed[..20] + "…";
}
