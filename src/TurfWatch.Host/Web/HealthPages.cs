using System.Text;
using NodaTime;

namespace TurfWatch.Host.Web;

/// <summary>
/// <c>/health/live</c>: restart me if this fails. <c>/health/ready</c>: whether work can be done; weather
/// or mail being away is told as "degraded" and is no reason to restart.
/// </summary>
internal static class HealthPages
{
    private static readonly Duration Longest = Duration.FromMinutes(15);

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
            (HealthBoard board) =>
            {
                var troubles = board.Troubles();
                var unready =
                    board.Draining
                    || troubles.Any(t =>
                        string.Equals(t.Area, HealthAreas.Store, StringComparison.Ordinal)
                    );
                var text = new StringBuilder(
                    board.Draining ? "stopping\n"
                    : unready ? "not ready\n"
                    : troubles.Count > 0 ? "ready, degraded\n"
                    : "ready\n"
                );
                foreach (var (area, since, sentence) in troubles)
                {
                    text.Append(area).Append(" (since ").Append(since).Append("): ");
                    text.Append(sentence).Append('\n');
                }

                return Results.Text(
                    text.ToString(),
                    statusCode: unready ? StatusCodes.Status503ServiceUnavailable : 200
                );
            }
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
}
