using NodaTime;

namespace TurfWatch.Host.Web;

/// <summary>
/// <c>/health/live</c>: restart me if this fails. <c>/health/ready</c>: whether work can be done; weather
/// or mail being away is told as "degraded" and is no reason to restart.
/// </summary>
internal static class HealthPages
{
    private static readonly Duration Longest = Duration.FromMinutes(15);

    /// <summary>Both pages as anyone may see them.</summary>
    public static void MapHealth(this IEndpointRouteBuilder routes, Instant startedAt)
    {
        routes.MapGet(
            "/health/live",
            (HealthBoard board, TimeProvider clock) =>
            {
                var last = board.LastTick(Jobs.JobNames.Deliver) ?? startedAt;
                var age = Instant.FromDateTimeOffset(clock.GetUtcNow()) - last;
                return age <= Longest
                    ? Results.Text("live\n")
                    : Results.Text(
                        $"stuck: the delivery sweep last ran {age.TotalMinutes:0} minutes ago\n",
                        statusCode: StatusCodes.Status503ServiceUnavailable
                    );
            }
        );
        routes.MapGet(
            "/health/ready",
            (HealthBoard board) => Ready(board, (area, _) => HealthAreas.Plainly(area))
        );
    }

    /// <summary>Whether work can be done and what troubles it in full, for a listener that only the operator reaches.</summary>
    public static void MapReadyInFull(this IEndpointRouteBuilder routes, HealthBoard board) =>
        routes.MapGet("/health/ready", () => Ready(board, (_, sentence) => sentence));

    private static IResult Ready(HealthBoard board, Func<string, string, string> words)
    {
        var troubles = board.Troubles();
        var unready =
            board.Draining
            || troubles.Any(t =>
                string.Equals(t.Area, HealthAreas.Store, StringComparison.Ordinal)
            );
        var state =
            board.Draining ? "stopping\n"
            : unready ? "not ready\n"
            : troubles.Count > 0 ? "ready, degraded\n"
            : "ready\n";
        var causes = troubles.Select(t =>
            $"{t.Area} (since {t.Since}): {words(t.Area, t.Sentence)}\n"
        );
        return Results.Text(
            state + string.Concat(causes),
            statusCode: unready ? StatusCodes.Status503ServiceUnavailable : StatusCodes.Status200OK
        );
    }
}

/// <summary>The areas that can be in trouble.</summary>
public static class HealthAreas
{
    public const string Store = "store";
    public const string Weather = "weather";
    public const string Mail = "mail";
    public const string Inbox = "inbox";

    public static readonly string[] All = [Store, Weather, Mail, Inbox];

    /// <summary>What is wrong as anyone may know it: no host, no login, no path.</summary>
    internal static string Plainly(string area) =>
        area switch
        {
            Store => "the data cannot be read or written as it should",
            Weather => "new weather could not be had for some place",
            Mail => "messages are not sent",
            Inbox => "the mailbox for answers cannot be read",
            _ => "a part of the work did not end well",
        };
}
