using System.Text.Json;
using System.Text.Json.Serialization;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Store;

/// <summary>Nouns of Core as JSON in the database: enums by name, times in ISO 8601, computed members left out.</summary>
internal static class NounJson
{
    private static readonly JsonSerializerOptions Options = new()
    {
        IgnoreReadOnlyProperties = true,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Converters =
        {
            new JsonStringEnumConverter(),
            new PatternConverter<Instant>(InstantPattern.ExtendedIso),
            new PatternConverter<LocalDate>(LocalDatePattern.Iso),
            new PatternConverter<LocalTime>(LocalTimePattern.ExtendedIso),
            new PatternConverter<Duration>(DurationPattern.Roundtrip),
        },
    };

    public static string Write<T>(T noun) => JsonSerializer.Serialize(noun, Options);

    public static T Read<T>(string json) =>
        JsonSerializer.Deserialize<T>(json, Options)
        ?? throw new JsonException($"'null' stands where a {typeof(T).Name} should");

    private sealed class PatternConverter<T>(IPattern<T> pattern) : JsonConverter<T>
    {
        public override T Read(
            ref Utf8JsonReader reader,
            Type typeToConvert,
            JsonSerializerOptions options
        ) => pattern.Parse(reader.GetString() ?? "").Value;

        public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) =>
            writer.WriteStringValue(pattern.Format(value));
    }
}
