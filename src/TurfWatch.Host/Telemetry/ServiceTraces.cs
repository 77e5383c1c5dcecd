using System.Diagnostics;

namespace TurfWatch.Host.Telemetry;

/// <summary>
/// The way of a message as spans: fetch, assess, enqueue, deliver. Each step is a trace of its own, for hours and a
/// database lie between them; the cell and the outbox id join them. Costs nothing while nobody listens.
/// </summary>
internal static class ServiceTraces
{
    public const string Name = "TurfWatch";

    private static readonly ActivitySource Source = new(Name);

    public static Activity? Start(string step, string? cell = null)
    {
        var span = Source.StartActivity(step);
        if (cell is not null)
        {
            span?.SetTag("turfwatch.cell", cell);
        }

        return span;
    }

    /// <summary>Marks a span as failed, with the reason.</summary>
    public static void Failed(this Activity? span, string why) =>
        span?.SetStatus(ActivityStatusCode.Error, AddressMask.In(why));
}
