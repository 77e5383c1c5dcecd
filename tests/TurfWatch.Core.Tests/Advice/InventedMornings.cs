using NodaTime;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>Mornings of all kinds, for tests of whole messages and for reading.</summary>
internal static class InventedMornings
{
    public static IEnumerable<(string Name, MorningMaker Maker)> All()
    {
        yield return (
            "dew first, rain later, due",
            Rain(new MorningMaker().DewUntil(100, 100, 95, 70, 30, 5), 13, 17, 70, 2).Mowed(8)
        );
        yield return ("dry already, no journal", new MorningMaker(now: "07:30"));
        yield return ("not due", new MorningMaker().DewUntil(100, 90, 50, 5).Mowed(1));
        yield return ("rain all day", AllDayRain());
        yield return ("frost on winter rye", FrostyRye());
        yield return ("dormant bermuda", Dormant());
        yield return ("no forecast", Blind());
        yield return ("heat", Heat());
        yield return ("storm warnings", Storm());
        yield return (
            "may not dry",
            new MorningMaker().DewUntil([
                100,
                100,
                100,
                100,
                95,
                90,
                85,
                75,
                60,
                48,
                .. Enumerable.Repeat(40.0, 12),
            ])
        );
        yield return ("drought", Drought());
        yield return ("soft ground, got away", Soft());
        yield return ("not the owner's day", NotYourDay());
        yield return ("no past weather", new MorningMaker { SpinUpDays = 0 }.DewUntil(100, 60, 5));
        yield return ("too late", new MorningMaker(now: "19:30").Mowed(9));
        yield return (
            "shower possible",
            Rain(new MorningMaker().DewUntil(100, 50, 20, 5), 11, 15, 35, 0).Mowed(7)
        );
    }

    public static MorningMaker OverseededWinter()
    {
        var maker = new MorningMaker(new LocalDate(2026, 12, 9));
        maker.Lawn = maker.Lawn with
        {
            Grass = GrassKind.Bermuda,
            Overseed = GrassKind.PerennialRyegrass,
            MowingHeightCm = 3.8,
        };
        Array.Fill(maker.Soil10, 9);
        Array.Fill(maker.Soil5, 8);
        return maker;
    }

    public static MorningMaker Dormant()
    {
        var maker = new MorningMaker(new LocalDate(2026, 1, 20));
        maker.Lawn = maker.Lawn with { Grass = GrassKind.Bermuda };
        Array.Fill(maker.Soil10, 7);
        return maker;
    }

    public static MorningMaker Blind()
    {
        var maker = new MorningMaker();
        maker.Set(maker.WetChance, 6, 72, double.NaN);
        foreach (var column in Enum.GetValues<WeatherColumn>())
        {
            maker.Set(column, 6, 72, double.NaN);
        }

        maker.Notes =
        [
            new(DataSubject.Forecast, "a service", null, DataStanding.Missing, "no answer"),
            new(DataSubject.Hazards, "a service", null, DataStanding.Missing, "no answer"),
        ];
        return maker;
    }

    private static MorningMaker Rain(
        MorningMaker maker,
        int from,
        int to,
        double chance,
        double mm
    ) =>
        maker
            .Set(WeatherColumn.PrecipitationProbabilityPercent, from, to, chance)
            .Set(WeatherColumn.PrecipitationMm, from, to, mm);

    private static MorningMaker AllDayRain()
    {
        var maker = Rain(new MorningMaker(), 3, 24, 85, 1.5);
        return maker.Set(maker.WetChance, 3, 24, 100).Set(maker.LeafWater, 3, 24, 0.3);
    }

    private static MorningMaker FrostyRye()
    {
        var maker = OverseededWinter().DewUntil(100, 100, 100, 100, 80, 40, 5).Mowed(9);
        return maker
            .Set(WeatherColumn.AirTemperatureC, 0, 8, -1)
            .Set(maker.Canopy, 0, 8, -4)
            .Set(maker.Frost, 0, 9, 0.1);
    }

    private static MorningMaker Heat()
    {
        var maker = new MorningMaker(new LocalDate(2026, 7, 20)).DewUntil(100, 60, 5);
        maker.Lawn = maker.Lawn with { Grass = GrassKind.Bermuda };
        Array.Fill(maker.Soil10, 28);
        return maker
            .Set(WeatherColumn.AirTemperatureC, 10, 20, 36)
            .Set(WeatherColumn.RelativeHumidityPercent, 10, 13, 45)
            .Set(WeatherColumn.RelativeHumidityPercent, 13, 19, 60);
    }

    private static MorningMaker Storm()
    {
        var maker = new MorningMaker().Mowed(10);
        maker.Hazards =
        [
            new(
                "Severe Thunderstorm Watch",
                "Severe",
                maker.At("05:00"),
                maker.At("21:00"),
                "NWS Little Rock"
            ),
            new(
                "Tornado Warning",
                "Extreme",
                maker.At("06:10"),
                maker.At("07:15"),
                "NWS Little Rock"
            ),
        ];
        return maker;
    }

    private static MorningMaker Drought()
    {
        var maker = new MorningMaker(new LocalDate(2026, 8, 4)).Mowed(14);
        Array.Fill(maker.AvailableWater, 0.2);
        return maker;
    }

    private static MorningMaker Soft()
    {
        var maker = new MorningMaker { SpinUpDays = 9 }
            .DewUntil(100, 60, 5)
            .Mowed(20);
        return maker.Set(maker.SoilWetness, -20, 14, 1.7);
    }

    private static MorningMaker NotYourDay()
    {
        var maker = new MorningMaker();
        maker.Lawn = maker.Lawn with { MowDays = [IsoDayOfWeek.Saturday, IsoDayOfWeek.Sunday] };
        return maker;
    }
}
