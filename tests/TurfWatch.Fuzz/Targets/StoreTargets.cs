using System.Text;
using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Fuzz.Targets;

/// <summary>What is packed in the database, damaged: a fault that names itself, and no number that grows beyond all bounds.</summary>
internal static class StoreTargets
{
    private static readonly Instant Day = Instant.FromUtc(2026, 11, 25, 0, 0);

    public static IEnumerable<FuzzTarget> Make()
    {
        yield return new(
            "weather-day",
            b => WeatherDayBlob.Unpack(b, Day),
            typeof(InvalidDataException)
        )
        {
            MoreSeeds = [WeatherDayBlob.Pack(Hours(), Day)],
        };
        yield return new("outbox-content", b => OutboxRow.Unzip(b), typeof(InvalidDataException))
        {
            MoreSeeds =
            [
                OutboxRow.Zip("From: a@example.org\r\n\r\nMow now.\r\n"u8.ToArray()),
                OutboxRow.Zip([.. Enumerable.Range(0, 3000).Select(i => (byte)(i * i))]),
            ],
            // At most what is allowed, beside the doublings on the way to it.
            MostBytes = 200L << 20,
        };
        yield return new("site-state", b => SiteState.Unpack(b), typeof(FormatException))
        {
            MoreSeeds = [State().Pack()],
        };
        yield return new("site-days", b => SiteDays.Unpack(b), typeof(FormatException))
        {
            MoreSeeds = [Days().Pack()],
        };
        yield return new("past-years", b => PastYears.Unpack(b), typeof(FormatException))
        {
            MoreSeeds = [Years().Pack()],
        };
        yield return new(
            "lawn-row",
            b => NounJson.Read<Lawn>(Encoding.UTF8.GetString(b)),
            typeof(JsonException)
        )
        {
            IsJson = true,
            MoreSeeds = [Encoding.UTF8.GetBytes(NounJson.Write(Lawn()))],
        };
        yield return new(
            "cell-row",
            b => NounJson.Read<WeatherCell>(Encoding.UTF8.GetString(b)),
            typeof(JsonException)
        )
        {
            IsJson = true,
            MoreSeeds =
            [
                Encoding.UTF8.GetBytes(
                    NounJson.Write(
                        new WeatherCell
                        {
                            Id = "nws:TWC/90,50",
                            LatitudeDeg = 32.2,
                            LongitudeDeg = -110.9,
                            StationIds = ["KTUS"],
                            ResolvedAt = Day,
                        }
                    )
                ),
            ],
        };
    }

    private static WeatherSeries Hours()
    {
        var builder = new WeatherSeriesBuilder(Day, WeatherDayBlob.HoursPerDay);
        for (var h = 0; h < WeatherDayBlob.HoursPerDay; h++)
        {
            builder[WeatherColumn.AirTemperatureC][h] = h;
            builder.Origins[h] = new(HourKind.Measured, h < 12 ? "nws" : "nasa-power", Day);
        }

        return builder.Build();
    }

    private static SiteState State() =>
        new()
        {
            ValidAt = Day,
            SoilTemperaturesC = [.. Enumerable.Repeat(15.0, 12)],
            SoilIceMm = [.. Enumerable.Repeat(0.0, 12)],
            SoilWaterMm = [20, 30, 40],
            LeafWaterMm = 0.1,
            DewMm = 0.1,
            FrostMm = 0,
            SeasonC = 14,
            SpinUpDays = 92,
            HistoryCoverage = 0.9,
        };

    private static SiteDays Days()
    {
        double[] column = [10, 11, 12, double.NaN];
        return new()
        {
            First = new(2026, 1, 1),
            Soil5CmC = column,
            Soil10CmC = column,
            AirMeanC = column,
            AirMinC = column,
            AirMaxC = column,
            RainMm = column,
            Et0Mm = column,
            ShortwaveMJM2 = column,
            HumidityPercent = column,
            WetHours = column,
            AvailableWater = column,
        };
    }

    private static PastYears Years() =>
        new([
            new ClimateDay(new(2020, 1, 1), 10, 5, 15, 0),
            new ClimateDay(new(2020, 1, 2), 10, 5, 15, 3),
        ]);

    private static Lawn Lawn() =>
        new()
        {
            Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
            Grass = GrassKind.Bermuda,
            AreaM2 = 278,
            MowDays = [IsoDayOfWeek.Monday],
            Fertilizer = new FertilizerGrade(24, 0, 11),
        };
}
