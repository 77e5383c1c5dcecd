using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using NodaTime;
using Polly.CircuitBreaker;
using Polly.RateLimiting;
using Polly.Timeout;

namespace TurfWatch.Weather.Http;

/// <summary>A parsed answer.</summary>
/// <param name="Body">What the service said.</param>
/// <param name="Origin">When it said so, and whether it stands in for a failed one.</param>
public sealed record WeatherAnswer<T>(T Body, AnswerOrigin Origin);

/// <summary>Turns one call of a Refit interface (whose methods return <see cref="HttpResponseMessage"/>) into a parsed answer or a <see cref="WeatherSourceException"/>.</summary>
public sealed class WeatherReader(string sourceId, string creditName, TimeProvider time)
{
    public async Task<WeatherAnswer<T>> ReadAsync<T>(
        Func<Task<HttpResponseMessage>> call,
        JsonTypeInfo<T> type,
        CancellationToken ct
    )
        where T : class
    {
        using var response = await SendAsync(call, ct);
        if (response.StatusCode != HttpStatusCode.OK)
        {
            throw Refusal(response);
        }

        try
        {
            await using var stream = await response.Content.ReadAsStreamAsync(ct);
            var body =
                await JsonSerializer.DeserializeAsync(stream, type, ct)
                ?? throw Fault(WeatherFault.BadAnswer, $"{Url(response)} answered 'null'");
            return new(body, OriginOf(response));
        }
        catch (Exception e) when (e is JsonException or NotSupportedException)
        {
            throw Fault(
                WeatherFault.BadAnswer,
                $"{Url(response)} answered JSON of another shape: {e.Message}",
                e
            );
        }
    }

    /// <summary>An exception in this source's name.</summary>
    public WeatherSourceException Fault(
        WeatherFault fault,
        string operatorText,
        Exception? inner = null
    ) => new(sourceId, creditName, fault, operatorText, inner);

    private async Task<HttpResponseMessage> SendAsync(
        Func<Task<HttpResponseMessage>> call,
        CancellationToken ct
    )
    {
        try
        {
            return await call();
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            throw;
        }
        catch (Exception e)
        {
            // Refit may wrap what the handlers threw.
            var cause = e is Refit.ApiRequestException { InnerException: { } inner } ? inner : e;
            throw cause switch
            {
                BadBodyException => Fault(WeatherFault.BadAnswer, cause.Message, e),
                HeldBackException => Fault(WeatherFault.RateLimited, cause.Message, e),
                RateLimiterRejectedException => Fault(
                    WeatherFault.RateLimited,
                    "too many requests are waiting for this service",
                    e
                ),
                BrokenCircuitException => Fault(
                    WeatherFault.Unreachable,
                    "left alone for a while after many faults",
                    e
                ),
                TimeoutRejectedException => Fault(
                    WeatherFault.Unreachable,
                    "did not answer in time",
                    e
                ),
                HttpRequestException
                or SocketException
                or IOException
                or OperationCanceledException => Fault(WeatherFault.Unreachable, cause.Message, e),
                _ => e,
            };
        }
    }

    private WeatherSourceException Refusal(HttpResponseMessage response)
    {
        var problem = Problem.Of(response);
        var status = (int)response.StatusCode;
        var fault = response.StatusCode switch
        {
            // Only a service that names the problem knows what it does not serve; any other 404 may come
            // from a wrong base address or something in between.
            HttpStatusCode.NotFound => problem.Type.Length > 0
                ? WeatherFault.NoCoverage
                : WeatherFault.NotThere,
            HttpStatusCode.TooManyRequests => WeatherFault.RateLimited,
            HttpStatusCode.RequestTimeout => WeatherFault.Unreachable,
            _ when status >= 500 => RetryRule.IsGridProblem(response)
                ? WeatherFault.TooOld
                : WeatherFault.Unreachable,
            _ => WeatherFault.Refused,
        };
        var text = $"{Url(response)} answered {status} {problem.Type} {problem.Text}".TrimEnd();
        if (fault == WeatherFault.NotThere)
        {
            text += " (not found: is the base address right?)";
        }

        if (problem.CorrelationId is { } id)
        {
            text += $" (correlationId {id})";
        }

        return Fault(fault, text);
    }

    private AnswerOrigin OriginOf(HttpResponseMessage response) =>
        response.RequestMessage?.Options.TryGetValue(AnswerOrigin.OptionsKey, out var origin)
        == true
            ? origin
            : new(Instant.FromDateTimeOffset(time.GetUtcNow()), null);

    private static string Url(HttpResponseMessage response) =>
        response.RequestMessage?.RequestUri?.GetLeftPart(UriPartial.Path) ?? "?";
}
