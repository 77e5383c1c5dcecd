using System.Text.Json;
using System.Text.Json.Serialization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>Nouns of Core as JSON in the database: enums by name, times in ISO 8601, computed members left out.</summary>
internal static class NounJson
{
    private static readonly JsonSerializerOptions Options = new()
    {
        IgnoreReadOnlyProperties = true,
        Converters =
        {
            new JsonStringEnumConverter(),
            new PatternConverter<Instant>(InstantPattern.ExtendedIso),
            new PatternConverter<LocalDate>(LocalDatePattern.Iso),
            new PatternConverter<LocalTime>(LocalTimePattern.ExtendedIso),
            new PatternConverter<Duration>(DurationPattern.Roundtrip),
            new GradeConverter(),
        },
    };

    public static string Write<T>(T noun) => JsonSerializer.Serialize(noun, Options);

    public static T Read<T>(string json) =>
        JsonSerializer.Deserialize<T>(json, Options)
        ?? throw new JsonException($"'null' stands where a {typeof(T).Name} should");

    /// <summary>The noun, or null and why it cannot be read: damaged, or written by a program that knows more than this one.</summary>
    public static T? TryRead<T>(string json, out string? fault)
        where T : class
    {
        try
        {
            fault = null;
            return Read<T>(json);
        }
        catch (JsonException e)
        {
            fault = e.Message;
            return null;
        }
    }

    private sealed class PatternConverter<T>(IPattern<T> pattern) : JsonConverter<T>
    {
        public override T Read(
            ref Utf8JsonReader reader,
            Type typeToConvert,
            JsonSerializerOptions options
        ) =>
            reader.TokenType == JsonTokenType.String
            && pattern.Parse(reader.GetString()!) is { Success: true } parsed
                ? parsed.Value
                : throw new JsonException($"this is no {typeof(T).Name}");

        public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) =>
            writer.WriteStringValue(pattern.Format(value));
    }

    private sealed class GradeConverter : JsonConverter<FertilizerGrade>
    {
        public override FertilizerGrade Read(
            ref Utf8JsonReader reader,
            Type typeToConvert,
            JsonSerializerOptions options
        )
        {
            var numbers = JsonSerializer.Deserialize<double[]>(ref reader);
            try
            {
                return numbers is [var nitrogen, var phosphate, var potash]
                    ? new(nitrogen, phosphate, potash)
                    : throw new JsonException("a grade is a list of three numbers");
            }
            catch (ArgumentException e)
            {
                throw new JsonException(e.Message, e);
            }
        }

        public override void Write(
            Utf8JsonWriter writer,
            FertilizerGrade value,
            JsonSerializerOptions options
        ) =>
            JsonSerializer.Serialize<double[]>(
                writer,
                [value.NitrogenPercent, value.PhosphatePercent, value.PotashPercent]
            );
    }
}
