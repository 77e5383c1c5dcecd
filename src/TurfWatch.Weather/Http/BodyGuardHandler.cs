using System.Buffers;
using System.Net;
using System.Text.Json;
using Microsoft.Extensions.Logging;

namespace TurfWatch.Weather.Http;

/// <summary>
/// Innermost: keeps the pauses that a service asks for, and takes in the whole body within the try's
/// time-out, so that a body that is cut short, not JSON or too large is a failed try and not a surprise later.
/// </summary>
internal sealed partial class BodyGuardHandler(
    OriginState origin,
    TimeProvider time,
    ILogger<BodyGuardHandler> logger
) : DelegatingHandler
{
    private const int LargestErrorBody = 64 * 1024;

    protected override async Task<HttpResponseMessage> SendAsync(
        HttpRequestMessage request,
        CancellationToken cancellationToken
    )
    {
        var before = time.GetUtcNow();
        if (origin.IsHeld(before, out var until))
        {
            WeatherMeter.Requested(origin.Name, "held-back");
            throw new HeldBackException(
                $"the service asked for a pause until {until:u}; nothing was sent",
                until - before
            );
        }

        var response = await AskAsync(request, cancellationToken);

        if (response.StatusCode is HttpStatusCode.BadRequest or HttpStatusCode.Forbidden)
        {
            // Neither passes by itself: someone has to look.
            var problem = Problem.Of(response);
            LogRefused(origin.Name, (int)response.StatusCode, request.RequestUri, problem.Text);
        }

        var now = time.GetUtcNow();
        if (RetryRule.AskedWait(response, now) is { } wait && !RetryRule.IsGridProblem(response))
        {
            var most = origin.Options.RetryAfterMax;
            origin.HoldUntil(now + (wait < most ? wait : most));
        }

        return response;
    }

    private async Task<HttpResponseMessage> AskAsync(
        HttpRequestMessage request,
        CancellationToken cancellationToken
    )
    {
        HttpResponseMessage? response = null;
        try
        {
            response = await base.SendAsync(request, cancellationToken);
            await TakeInAsync(response, cancellationToken);
            WeatherMeter.Answered(origin.Name, response.StatusCode);
            return response;
        }
        catch (Exception e)
        {
            WeatherMeter.Failed(origin.Name, e);
            response?.Dispose();
            throw;
        }
    }

    private async Task TakeInAsync(HttpResponseMessage response, CancellationToken ct)
    {
        var good = response.StatusCode == HttpStatusCode.OK;
        var type = response.Content.Headers.ContentType?.MediaType;
        if (good && type?.Contains("json", StringComparison.OrdinalIgnoreCase) != true)
        {
            throw new BadBodyException(
                $"answered 200 with '{type ?? "no content type"}' instead of JSON",
                mayPass: false
            );
        }

        var limit = good ? origin.Options.MaxBodyBytes : LargestErrorBody;
        var body = await ReadAsync(response.Content, limit, good, ct);
        if (good)
        {
            CheckJson(body);
        }

        var content = new ByteArrayContent(body);
        foreach (var (name, values) in response.Content.Headers)
        {
            if (!name.Equals("Content-Length", StringComparison.OrdinalIgnoreCase))
            {
                content.Headers.TryAddWithoutValidation(name, values);
            }
        }

        response.Content.Dispose();
        response.Content = content;
    }

    private static async Task<byte[]> ReadAsync(
        HttpContent content,
        int limit,
        bool strict,
        CancellationToken ct
    )
    {
        await using var stream = await content.ReadAsStreamAsync(ct);
        using var taken = new MemoryStream();
        var buffer = ArrayPool<byte>.Shared.Rent(32 * 1024);
        try
        {
            int read;
            while ((read = await stream.ReadAsync(buffer, ct)) > 0)
            {
                if (taken.Length + read > limit)
                {
                    if (!strict)
                    {
                        break;
                    }

                    throw new BadBodyException($"sent more than {limit} bytes", mayPass: false);
                }

                taken.Write(buffer, 0, read);
            }
        }
        catch (Exception e) when (e is InvalidDataException)
        {
            throw new BadBodyException("sent a body that does not decompress", mayPass: true, e);
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(buffer);
        }

        return taken.ToArray();
    }

    private static void CheckJson(byte[] body)
    {
        try
        {
            var reader = new Utf8JsonReader(body);
            while (reader.Read()) { }
        }
        catch (JsonException e)
        {
            throw new BadBodyException(
                $"sent JSON that is cut short or malformed ({body.Length} bytes)",
                mayPass: true,
                e
            );
        }
    }

    [LoggerMessage(
        Level = LogLevel.Error,
        Message = "{Origin} turned our request down with {Status} ({Reason}): {Url}. For 403 check Weather:Contact and how often we ask; 400 is a fault of ours"
    )]
    private partial void LogRefused(string origin, int status, Uri? url, string reason);
}
