using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>The weather service of a town that does not exist: measured up to now, forecast beyond.</summary>
internal sealed class InventedWeather(WeatherSeries truth, int seed, PlaceClimate? climate = null)
{
    public const string SourceId = "invented";

    private const string SourceName = "Invented weather (demo)";
    private const int ForecastHours = 7 * 24;

    public CellWeather At(Instant now, Duration back)
    {
        var past = truth.Slice(now - back, now);
        var coming = InventedForecast.Make(truth, now, ForecastHours, seed);
        return new CellWeather(
            coming.Over(past),
            Hazards(now),
            [
                Fresh(DataSubject.Forecast, now),
                Fresh(DataSubject.Observations, past.LastHourEnd),
                Fresh(DataSubject.History, past.LastHourEnd),
                Fresh(DataSubject.Hazards, now),
                .. climate is null
                    ? (ReadOnlySpan<DataNote>)[]
                    : [Fresh(DataSubject.Climate, null)],
            ]
        )
        {
            Climate = climate,
        };
    }

    private static DataNote Fresh(DataSubject subject, Instant? time) =>
        new(subject, SourceName, time, DataStanding.Fresh);

    /// <summary>A warning is out on the mornings of days on which it really will storm hard or freeze hard.</summary>
    private ImmutableArray<Hazard> Hazards(Instant now)
    {
        var hazards = ImmutableArray.CreateBuilder<Hazard>();
        var today = truth.Slice(now, now + Duration.FromHours(14));
        var rain = today[WeatherColumn.PrecipitationMm];
        for (var i = 0; i < today.Count; i++)
        {
            if (rain[i] >= 12)
            {
                hazards.Add(
                    new Hazard(
                        "Severe Thunderstorm Watch",
                        "Severe",
                        today.HourEnd(i) - Duration.FromHours(3),
                        today.HourEnd(i) + Duration.FromHours(2),
                        SourceName
                    )
                );
                break;
            }
        }

        return hazards.ToImmutable();
    }
}
