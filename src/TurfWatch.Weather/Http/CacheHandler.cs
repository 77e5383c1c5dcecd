using System.Net;
using Microsoft.Extensions.Logging;
using NodaTime;

namespace TurfWatch.Weather.Http;

/// <summary>
/// Outermost: answers from what is kept while it is fresh, asks conditionally when it is not, shares one
/// request among all who ask the same, and lets the last good answer stand in for a failing service,
/// marked, within its limit. Errors are never kept.
/// </summary>
internal sealed partial class CacheHandler(
    OriginState origin,
    WeatherCache cache,
    TimeProvider time,
    ILogger<CacheHandler> logger
) : DelegatingHandler
{
    /// <summary>A Last-Modified further ahead than this is wrong, and would be answered 304 for days.</summary>
    private static readonly TimeSpan ClockSlack = TimeSpan.FromMinutes(10);

    private static readonly string[] KeptHeaders = ["X-Correlation-ID", "Retry-After"];

    protected override async Task<HttpResponseMessage> SendAsync(
        HttpRequestMessage request,
        CancellationToken cancellationToken
    )
    {
        if (
            request.Method != HttpMethod.Get
            || !request.Options.TryGetValue(CacheRule.OptionsKey, out var rule)
        )
        {
            return await base.SendAsync(request, cancellationToken);
        }

        var url = request.RequestUri!.AbsoluteUri;
        var flight = origin.Flights.GetOrAdd(url, _ => new(() => FlyAsync(request, url, rule)));
        var answered = await flight.Value.WaitAsync(cancellationToken);
        return answered.ToResponse(request);
    }

    private async Task<Answered> FlyAsync(HttpRequestMessage request, string url, CacheRule rule)
    {
        try
        {
            return await FetchAsync(request, url, rule);
        }
        finally
        {
            origin.Flights.TryRemove(url, out _);
        }
    }

    private async Task<Answered> FetchAsync(HttpRequestMessage request, string url, CacheRule rule)
    {
        var kept = cache.Read(url);
        var now = Now();
        if (!rule.AskAgain && kept is not null && kept.CheckedAt <= now && now < kept.FreshUntil)
        {
            return Serve(kept, null);
        }

        if (kept is not null)
        {
            MakeConditional(request, kept);
        }

        Answered answer;
        HttpResponseMessage? response = null;
        try
        {
            // Several callers may wait for this one; a single caller's cancellation must not end it. The
            // pipeline's total time-out does.
            response = await base.SendAsync(request, CancellationToken.None);
            if (response.StatusCode == HttpStatusCode.NotModified && kept is not null)
            {
                return Confirm(kept, response, rule);
            }

            var body = await response.Content.ReadAsByteArrayAsync(CancellationToken.None);
            answer = new(
                response.StatusCode,
                [
                    .. response
                        .Headers.Where(h =>
                            KeptHeaders.Contains(h.Key, StringComparer.OrdinalIgnoreCase)
                        )
                        .SelectMany(h => h.Value.Select(v => KeyValuePair.Create(h.Key, v))),
                ],
                response.Content.Headers.ContentType?.ToString(),
                body,
                new(Now(), null)
            );
            if (response.StatusCode == HttpStatusCode.OK)
            {
                Keep(url, response, body, rule);
            }
        }
        catch (Exception e)
            when (LastGood(kept, rule) is { } standIn && e is not OutOfMemoryException)
        {
            LogStandIn(origin.Name, url, e.Message, standIn.CheckedAt);
            return Serve(standIn, e.Message);
        }
        finally
        {
            response?.Dispose();
        }

        if (MayStandIn(answer.Status) && LastGood(kept, rule) is { } lastGood)
        {
            var reason =
                $"answered {(int)answer.Status} {Problem.Of(answer.ToResponse(request)).Type}".Trim();
            LogStandIn(origin.Name, url, reason, lastGood.CheckedAt);
            return Serve(lastGood, reason);
        }

        return answer;
    }

    /// <summary>Not for 404 and 400: those say that the question is wrong, not that the service is away.</summary>
    private static bool MayStandIn(HttpStatusCode status) =>
        (int)status >= 500
        || status
            is HttpStatusCode.TooManyRequests
                or HttpStatusCode.Forbidden
                or HttpStatusCode.RequestTimeout;

    private KeptAnswer? LastGood(KeptAnswer? kept, CacheRule rule) =>
        kept is not null && Now() - kept.CheckedAt <= Duration.FromTimeSpan(rule.KeptFor)
            ? kept
            : null;

    private void MakeConditional(HttpRequestMessage request, KeptAnswer kept)
    {
        if (kept.ETag is not null)
        {
            request.Headers.TryAddWithoutValidation("If-None-Match", kept.ETag);
        }

        if (
            DateTimeOffset.TryParse(kept.LastModified, out var modified)
            && modified <= time.GetUtcNow() + ClockSlack
        )
        {
            request.Headers.IfModifiedSince = modified;
        }
    }

    private void Keep(string url, HttpResponseMessage response, byte[] body, CacheRule rule)
    {
        if (response.Headers.CacheControl?.NoStore == true)
        {
            return;
        }

        var now = time.GetUtcNow();
        cache.Write(
            new(
                url,
                response.Content.Headers.ContentType!.ToString(),
                response.Headers.ETag?.ToString(),
                response.Content.Headers.LastModified?.ToString("R"),
                now.ToUnixTimeSeconds(),
                FreshUntil(response, rule, now),
                "",
                body
            )
        );
    }

    private Answered Confirm(KeptAnswer kept, HttpResponseMessage response, CacheRule rule)
    {
        var now = time.GetUtcNow();
        var confirmed = kept with
        {
            CheckedAtUnix = now.ToUnixTimeSeconds(),
            FreshUntilUnix = FreshUntil(response, rule, now),
        };
        cache.Write(confirmed);
        return Serve(confirmed, null);
    }

    private static long FreshUntil(
        HttpResponseMessage response,
        CacheRule rule,
        DateTimeOffset now
    ) =>
        (
            now + rule.Lifetime(response.Headers, response.Content.Headers.Expires, now)
        ).ToUnixTimeSeconds();

    private static Answered Serve(KeptAnswer kept, string? staleReason) =>
        new(HttpStatusCode.OK, [], kept.ContentType, kept.Body, new(kept.CheckedAt, staleReason));

    private Instant Now() => Instant.FromDateTimeOffset(time.GetUtcNow());

    [LoggerMessage(
        Level = LogLevel.Warning,
        Message = "{Origin} failed for {Url} ({Reason}); the answer of {CheckedAt} stands in"
    )]
    private partial void LogStandIn(string origin, string url, string reason, Instant checkedAt);
}
