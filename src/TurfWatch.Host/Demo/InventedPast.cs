using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Demo;

/// <summary>The past years of a town that does not exist, drawn as its year is.</summary>
internal static class InventedPast
{
    private const int Count = 20;

    /// <summary>The days of the twenty full years before <paramref name="year"/>.</summary>
    public static PastYears Years(DemoHousehold household, int year)
    {
        var place = household.Lawn.Place;
        var start = place.Zone.AtStartOfDay(new LocalDate(year - Count, 1, 1)).ToInstant();
        var end = place.Zone.AtStartOfDay(new LocalDate(year, 1, 1)).ToInstant();
        var hours = InventedYear.Draw(
            household.Climate,
            place,
            start + Duration.FromHours(1),
            (int)(end - start).TotalHours,
            household.Seed + 1000
        );
        return new(Days(hours, place, household.ElevationM));
    }

    /// <summary>What is usual in those years.</summary>
    public static PlaceClimate Climate(PastYears years) =>
        PlaceClimateBuilder.Build([.. years.Days])
        ?? throw new InvalidOperationException($"{Count} drawn years make no climate");

    private static ImmutableArray<ClimateDay> Days(
        WeatherSeries hours,
        Place place,
        double elevationM
    )
    {
        var air = hours[WeatherColumn.AirTemperatureC].ToArray();
        var rain = hours[WeatherColumn.PrecipitationMm].ToArray();
        var dew = hours[WeatherColumn.DewPointC].ToArray();
        var wind = hours[WeatherColumn.WindSpeedMS].ToArray();
        var cloud = hours[WeatherColumn.CloudCoverPercent].ToArray();
        var pressure = Psychrometrics.PressureHPa(elevationM);
        return
        [
            .. Enumerable
                .Range(0, hours.Count)
                .GroupBy(i => (hours.HourEnd(i) - Duration.FromMinutes(30)).InZone(place.Zone).Date)
                .Select(day => new ClimateDay(
                    day.Key,
                    day.Average(i => air[i]),
                    day.Min(i => air[i]),
                    day.Max(i => air[i]),
                    day.Sum(i => rain[i]),
                    day.Average(i => dew[i]),
                    day.Average(i => wind[i]),
                    day.Sum(Sunshine)
                )),
        ];

        // [MJ/m²] of the hour: a mean of 1 W/m² over 3600 s.
        double Sunshine(int i)
        {
            var end = hours.HourEnd(i);
            var height = Sun.MeanCosZenithOverHour(end, place.LatitudeDeg, place.LongitudeDeg);
            if (height <= 0)
            {
                return 0;
            }

            var sun = Sun.Position(
                end - Duration.FromMinutes(30),
                place.LatitudeDeg,
                place.LongitudeDeg
            );
            var clear = Radiation.ClearSkyShortwaveWM2(
                height,
                sun.DistanceFactor,
                Psychrometrics.SaturationVapourPressureHPa(dew[i]),
                pressure
            );
            return Radiation.CloudyShortwaveWM2(clear, cloud[i]) * 3600 / 1e6;
        }
    }
}
