using System.Diagnostics;
using System.Diagnostics.Metrics;
using System.Net;

namespace TurfWatch.Weather.Http;

/// <summary>Counts what is asked of the weather services: each try that was sent, or held back because the service asked for a pause.</summary>
internal static class WeatherMeter
{
    private static readonly Meter Meter = new("TurfWatch.Weather");

    private static readonly Counter<long> Requests = Meter.CreateCounter<long>(
        "turfwatch.weather_requests",
        description: "Requests to the weather services and what became of them; answers from the cache are not requests."
    );

    public static void Requested(string origin, string result) =>
        Requests.Add(1, new TagList { { "origin", origin }, { "result", result } });

    public static void Answered(string origin, HttpStatusCode status) =>
        Requested(
            origin,
            status switch
            {
                HttpStatusCode.OK => "ok",
                HttpStatusCode.NotModified => "not-modified",
                HttpStatusCode.TooManyRequests => "too-many",
                >= HttpStatusCode.InternalServerError => "server-error",
                >= HttpStatusCode.BadRequest => "turned-down",
                _ => "other",
            }
        );

    public static void Failed(string origin, Exception failure) =>
        Requested(
            origin,
            failure switch
            {
                BadBodyException => "bad-body",
                OperationCanceledException => "timeout",
                _ => "unreachable",
            }
        );
}
