using System.Text.Json.Serialization;
using Refit;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Tests.Http;

/// <summary>A service of the tests' own: the plumbing is tried without any real service's shapes.</summary>
public interface IProbeApi
{
    [Get("/thing/{id}")]
    Task<HttpResponseMessage> ThingAsync(
        string id,
        [Property(CacheRule.Key)] CacheRule rule,
        CancellationToken ct
    );
}

public sealed record Probe([property: JsonPropertyName("value")] double? Value);

[JsonSerializable(typeof(Probe))]
public sealed partial class ProbeJson : JsonSerializerContext;
