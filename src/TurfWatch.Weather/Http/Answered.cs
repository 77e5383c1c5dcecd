using System.Net;
using NodaTime;

namespace TurfWatch.Weather.Http;

/// <summary>Where an answer is from.</summary>
/// <param name="CheckedAt">When the service last said that this is its answer.</param>
/// <param name="StaleReason">Why the last good answer stands in for a new one; null when it does not.</param>
public sealed record AnswerOrigin(Instant CheckedAt, string? StaleReason)
{
    internal static readonly HttpRequestOptionsKey<AnswerOrigin> OptionsKey = new(
        "turfwatch.answer-origin"
    );
}

/// <summary>An answer free of its connection, so that several callers can share it.</summary>
internal sealed record Answered(
    HttpStatusCode Status,
    IReadOnlyList<KeyValuePair<string, string>> Headers,
    string? ContentType,
    byte[] Body,
    AnswerOrigin Origin
)
{
    public HttpResponseMessage ToResponse(HttpRequestMessage request)
    {
        request.Options.Set(AnswerOrigin.OptionsKey, Origin);
        var response = new HttpResponseMessage(Status)
        {
            RequestMessage = request,
            Content = new ByteArrayContent(Body),
        };
        foreach (var (name, value) in Headers)
        {
            response.Headers.TryAddWithoutValidation(name, value);
        }

        if (ContentType is not null)
        {
            response.Content.Headers.TryAddWithoutValidation("Content-Type", ContentType);
        }

        return response;
    }
}
