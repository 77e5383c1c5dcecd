using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// A forecast hour that has passed and was issued shortly before is the cell's own history: it counts as
/// analysed. One from an old forecast stays a forecast.
/// </summary>
internal static class KeptForecast
{
    private static readonly Duration LongestLead = Duration.FromHours(6);

    public static void Relabel(WeatherSeriesBuilder hours, Instant firstHourEnd, Instant now)
    {
        var origins = hours.Origins;
        for (var i = 0; i < origins.Length; i++)
        {
            var end = firstHourEnd + Duration.FromHours(i);
            if (end > now)
            {
                return;
            }

            if (
                origins[i] is { Kind: HourKind.Forecast, IssuedAt: { } issued }
                && end - issued <= LongestLead
            )
            {
                origins[i] = origins[i] with { Kind = HourKind.Analysed };
            }
        }
    }
}
