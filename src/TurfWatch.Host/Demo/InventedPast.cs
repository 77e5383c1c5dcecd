using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>The past years of a town that does not exist, drawn as its year is.</summary>
internal static class InventedPast
{
    private const int Years = 20;

    /// <summary>The climate of the twenty full years before <paramref name="year"/>.</summary>
    public static PlaceClimate Climate(DemoHousehold household, int year)
    {
        var place = household.Lawn.Place;
        var start = place.Zone.AtStartOfDay(new LocalDate(year - Years, 1, 1)).ToInstant();
        var end = place.Zone.AtStartOfDay(new LocalDate(year, 1, 1)).ToInstant();
        var hours = InventedYear.Draw(
            household.Climate,
            place,
            start + Duration.FromHours(1),
            (int)(end - start).TotalHours,
            household.Seed + 1000
        );
        return PlaceClimateBuilder.Build(Days(hours, place.Zone))
            ?? throw new InvalidOperationException($"{Years} drawn years make no climate");
    }

    private static List<ClimateDay> Days(WeatherSeries hours, DateTimeZone zone)
    {
        var air = hours[WeatherColumn.AirTemperatureC].ToArray();
        var rain = hours[WeatherColumn.PrecipitationMm].ToArray();
        return
        [
            .. Enumerable
                .Range(0, hours.Count)
                .GroupBy(i => (hours.HourEnd(i) - Duration.FromMinutes(30)).InZone(zone).Date)
                .Select(day => new ClimateDay(
                    day.Key,
                    day.Average(i => air[i]),
                    day.Min(i => air[i]),
                    day.Max(i => air[i]),
                    day.Sum(i => rain[i])
                )),
        ];
    }
}
