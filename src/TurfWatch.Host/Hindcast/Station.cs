using System.Text.Json;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>The input cannot be used; the message says which file, what was found and what to write instead.</summary>
public sealed class StationException(string message) : Exception(message);

/// <summary>What <c>station.json</c> says of a station, as the model needs it.</summary>
public sealed record Station(
    SiteDescription Site,
    SurfaceClass Surface,
    GroundCover Cover,
    double WindHeightM
)
{
    // Warm-season grasses make up lawns towards the equator from here, cool-season ones beyond (common practice, no source).
    private const double WarmSeasonBelowDeg = 36;

    public static Station Read(string path)
    {
        if (!File.Exists(path))
        {
            throw new StationException(
                $"{path}: not there; a station folder holds station.json and hourly.csv"
            );
        }

        try
        {
            using var document = JsonDocument.Parse(File.ReadAllText(path));
            var root = document.RootElement;
            var latitude = Number(root, "latitude", -90, 90, path);
            var longitude = Number(root, "longitude", -180, 180, path);
            var elevation = Number(root, "elevation_m", -500, 9000, path);
            var windHeight = root.TryGetProperty("wind_height_m", out _)
                ? Number(root, "wind_height_m", 0.5, 200, path)
                : 2;
            var coverText = Text(root, "cover");
            var irrigated =
                root.TryGetProperty("irrigated", out var value)
                && value.ValueKind == JsonValueKind.True;
            return new(
                new(latitude, longitude, elevation),
                new(
                    Has(coverText, "dormant") ? CanopyState.Dormant : CanopyState.Active,
                    Shade.Sun,
                    irrigated,
                    SoilFrom(Text(root, "soil")),
                    WarmSeason(coverText, latitude)
                ),
                CoverFrom(coverText),
                windHeight
            );
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            // The second: no object, or text with half of a surrogate pair.
            throw new StationException($"{path}: not valid JSON of an object: {e.Message}");
        }
    }

    /// <summary>The cover in a station's own words: bare, prairie or tall grass, else turf.</summary>
    public static GroundCover CoverFrom(string text) =>
        Has(text, "bare") || Has(text, "fallow") ? GroundCover.BareSoil
        : Has(text, "prairie") || Has(text, "tall grass") || Has(text, "tallgrass")
            ? GroundCover.TallGrass
        : GroundCover.Turf;

    /// <summary>The texture in a station's own words; loam where it does not say.</summary>
    public static SoilTexture SoilFrom(string text) =>
        Has(text, "clay loam") ? SoilTexture.ClayLoam
        : Has(text, "sandy loam") || Has(text, "loamy sand") ? SoilTexture.SandyLoam
        : Has(text, "loam") || Has(text, "silt") && !Has(text, "clay") ? SoilTexture.Loam
        : Has(text, "clay") ? SoilTexture.Clay
        : Has(text, "sand") ? SoilTexture.Sand
        : SoilTexture.Loam;

    private static bool WarmSeason(string cover, double latitude) =>
        Has(cover, "bermuda")
        || Has(cover, "zoysia")
        || Has(cover, "warm-season")
        || (
            Math.Abs(latitude) < WarmSeasonBelowDeg
            && !Has(cover, "fescue")
            && !Has(cover, "bluegrass")
            && !Has(cover, "rye")
        );

    private static double Number(
        JsonElement root,
        string name,
        double lowest,
        double highest,
        string path
    )
    {
        if (!root.TryGetProperty(name, out var value) || value.ValueKind != JsonValueKind.Number)
        {
            throw new StationException(
                $"{path}: \"{name}\" is missing or no number; write one from {lowest} to {highest}"
            );
        }

        var number = value.GetDouble();
        return number >= lowest && number <= highest
            ? number
            : throw new StationException(
                $"{path}: \"{name}\" is {number}; write a number from {lowest} to {highest}"
            );
    }

    private static string Text(JsonElement root, string name) =>
        root.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String
            ? value.GetString() ?? ""
            : "";

    private static bool Has(string text, string word) =>
        text.Contains(word, StringComparison.OrdinalIgnoreCase);
}
