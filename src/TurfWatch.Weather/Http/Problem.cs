using System.Net.Http.Headers;
using System.Text.Json;

namespace TurfWatch.Weather.Http;

/// <summary>What an error answer says of itself (RFC 7807, or the service's own words).</summary>
/// <param name="Type">Last part of the problem's type, for example <c>ForecastGridExpired</c>; empty when it has none.</param>
/// <param name="Text">Title and detail, short.</param>
/// <param name="CorrelationId">The id by which the service finds the request in its own logs.</param>
internal sealed record Problem(string Type, string Text, string? CorrelationId)
{
    private const int LongestText = 300;
    private const int LongestType = 80;

    /// <summary>Reads a buffered error body; never throws.</summary>
    public static Problem Of(HttpResponseMessage response)
    {
        var correlation = Header(response.Headers, "X-Correlation-ID");
        if (response.Content.Headers.ContentType?.MediaType?.Contains("json") != true)
        {
            return new("", response.Content.Headers.ContentType?.MediaType ?? "", correlation);
        }

        try
        {
            // One stream serves all readers of a buffered body.
            var body = response.Content.ReadAsStream();
            body.Position = 0;
            using var json = JsonDocument.Parse(body);
            var root = json.RootElement;
            if (root.ValueKind != JsonValueKind.Object)
            {
                return new("", "", correlation);
            }

            var type = Member(root, "type");
            var parts = new[]
            {
                Member(root, "title"),
                Member(root, "detail"),
                Member(root, "reason"),
                Raw(root, "parameterErrors"),
                Raw(root, "messages"),
            }.Where(p => p.Length > 0);
            var text = string.Join("; ", parts);
            return new(
                ForeignText.OneLine(type[(type.LastIndexOf('/') + 1)..], LongestType),
                ForeignText.OneLine(text, LongestText),
                ForeignText.OneLine(
                    Member(root, "correlationId") is { Length: > 0 } id ? id : correlation ?? "",
                    LongestType
                )
                    is { Length: > 0 } known
                    ? known
                    : null
            );
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            return new("", "unreadable error body", correlation);
        }
    }

    private static string Member(JsonElement root, string name) =>
        root.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String
            ? value.GetString()!
            : "";

    private static string Raw(JsonElement root, string name) =>
        root.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.Array
            ? value.GetRawText()
            : "";

    private static string? Header(HttpResponseHeaders headers, string name) =>
        headers.TryGetValues(name, out var values) ? values.FirstOrDefault() : null;
}
