using System.Net;
using System.Net.Sockets;
using Polly;
using Polly.Timeout;

namespace TurfWatch.Weather.Http;

/// <summary>Which answers are asked for again, which count against the service, and after what wait.</summary>
internal static class RetryRule
{
    /// <summary>Rate limits of the public services pass within about this time.</summary>
    private static readonly TimeSpan RateLimitWait = TimeSpan.FromSeconds(5);

    /// <summary>States of one forecast grid that last for hours: neither worth a quick retry nor a sign that the service is down.</summary>
    private static readonly string[] GridProblems = ["ForecastGridExpired", "ForecastMissingData"];

    /// <summary>A fault that may pass within seconds.</summary>
    public static bool IsPassing(Outcome<HttpResponseMessage> outcome) =>
        outcome.Exception switch
        {
            HttpRequestException or TimeoutRejectedException or IOException => true,
            // A connection that is reset as soon as it stands comes bare out of the HTTP client.
            SocketException => true,
            BadBodyException bad => bad.MayPass,
            not null => false,
            null => outcome.Result!.StatusCode switch
            {
                HttpStatusCode.RequestTimeout
                or HttpStatusCode.TooManyRequests
                or HttpStatusCode.InternalServerError
                or HttpStatusCode.BadGateway
                or HttpStatusCode.GatewayTimeout => true,
                HttpStatusCode.ServiceUnavailable => !IsGridProblem(outcome.Result),
                _ => false,
            },
        };

    /// <summary>A sign that the service is down or does not want us.</summary>
    public static bool CountsAgainstOrigin(Outcome<HttpResponseMessage> outcome) =>
        IsPassing(outcome)
        || outcome.Exception is BadBodyException
        || outcome.Result?.StatusCode == HttpStatusCode.Forbidden;

    public static bool IsGridProblem(HttpResponseMessage response) =>
        response.StatusCode == HttpStatusCode.ServiceUnavailable
        && GridProblems.Contains(Problem.Of(response).Type, StringComparer.Ordinal);

    /// <summary>How long to wait before this request is sent (again); null when nobody asked for a wait.</summary>
    public static TimeSpan? Wait(Outcome<HttpResponseMessage> outcome, DateTimeOffset now) =>
        outcome.Exception is HeldBackException held
            ? held.Remaining
            : AskedWait(outcome.Result, now);

    /// <summary>How long the service asks to be left alone; null when it does not ask.</summary>
    public static TimeSpan? AskedWait(HttpResponseMessage? response, DateTimeOffset now)
    {
        if (
            response?.StatusCode
            is not (HttpStatusCode.TooManyRequests or HttpStatusCode.ServiceUnavailable)
        )
        {
            return null;
        }

        var asked = response.Headers.RetryAfter switch
        {
            { Delta: { } delta } => delta,
            { Date: { } date } => date - now,
            _ => (TimeSpan?)null,
        };
        return (asked, response.StatusCode) switch
        {
            ({ } wait, _) => wait > TimeSpan.Zero ? wait : TimeSpan.Zero,
            (null, HttpStatusCode.TooManyRequests) => RateLimitWait,
            _ => null,
        };
    }
}
