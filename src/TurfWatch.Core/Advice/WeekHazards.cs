using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Advice;

/// <summary>What may hurt a person or the lawn in the week that comes, from the forecast hours and the warnings in force.</summary>
public static class WeekHazards
{
    /// <summary>Id of the findings.</summary>
    public const string Id = "week-hazards";

    /// <summary>Gust from which a day is told as windy: 46 mph, where many weather offices issue a wind advisory [m/s].</summary>
    public const double GustMS = 46 * 0.44704;

    /// <summary>Steady wind from which it is: 31 mph, likewise [m/s].</summary>
    public const double WindMS = 31 * 0.44704;

    /// <summary>Rain of a day that washes seed and fertilizer away: an inch [mm]; judgement.</summary>
    public const double WashingRainMm = 25.4;

    /// <summary>Rain of a day that may flood: two inches [mm]; judgement.</summary>
    public const double FloodingRainMm = 50.8;

    private const int Days = 7;
    private const double FrostTraceMm = 0.005;

    private const string FreezeSource =
        "levels 36, 32, 28 °F: NWS Jackson; forecast of your place, low spots are colder";

    private const string FrostSource =
        "NC State Extension AG-763W: frozen leaves are broken by traffic, stay off until thawed";

    private const string HeatSource =
        "heat index: Rothfusz 1990 (NWS SR 90-23); NWS categories: extreme caution from 90 °F, danger from 103 °F, in the shade";

    private const string WindSource =
        "gusts of 46 mph or steady wind of 31 mph: usual criteria of NWS wind advisories, from memory, unverified; they differ by office";

    private const string RainSource =
        "an inch washes seed and fertilizer off, two may flood: judgement, no source";

    private const string WarningSource = "warnings of the US National Weather Service as issued";

    /// <summary>The findings, those that forbid first, then by kind.</summary>
    public static IEnumerable<Finding> Of(LawnYear year)
    {
        var week = new Week(year);
        foreach (var finding in Warnings(year))
        {
            yield return finding;
        }

        Finding?[] found =
        [
            Heat(year, week),
            Freeze(year, week),
            Frost(year, week),
            Wind(year, week),
            Rain(year, week),
        ];
        foreach (var finding in found.OfType<Finding>())
        {
            yield return finding;
        }
    }

    private static IEnumerable<Finding> Warnings(LawnYear year)
    {
        var end = year.Now + Duration.FromDays(Days);
        foreach (var hazard in year.Weather.Hazards)
        {
            if (
                HazardsRule.Meaning(hazard) is not { } kind
                || hazard.Ends <= year.Now
                || hazard.Onset > end
            )
            {
                continue;
            }

            var thunder = hazard.Event.Contains("Thunderstorm", StringComparison.OrdinalIgnoreCase);
            var what = thunder
                ? "at the first thunder go indoors, and stay there for half an hour after the last"
                : "read it before you plan work outside";
            yield return new(
                Id,
                kind == HoldKind.Blocks ? AdviceWeight.Blocks : AdviceWeight.Cautions,
                (hazard.Onset, hazard.Ends) switch
                {
                    ({ } from, { } until) when from > year.Now => Phrase.Of(
                        $"{hazard.Event} from {from} to {until}: {what}."
                    ),
                    (_, { } until) => Phrase.Of($"{hazard.Event} until {until}: {what}."),
                    _ => Phrase.Of($"{hazard.Event} in force: {what}."),
                },
                Phrase.Of($"issued by {hazard.Sender}, severity {hazard.Severity}"),
                Phrase.Of($"a warning comes before the lawn"),
                WarningSource
            );
        }
    }

    private static Finding? Heat(LawnYear year, Week week)
    {
        var hot = week.DaysWhere(i => IndexC(year, i) >= HeatForPersonRule.ExtremeCautionC);
        if (hot.Count == 0)
        {
            return null;
        }

        var most = week.Most(i => IndexC(year, i));
        var danger = most >= HeatForPersonRule.DangerC;
        return new(
            Id,
            AdviceWeight.Cautions,
            danger
                ? Phrase.Of(
                    $"Dangerous heat {DayNames.Of(hot, year.Date)}: work early or not at all, drink, and know the signs of heat stroke."
                )
                : Phrase.Of(
                    $"Hot work {DayNames.Of(hot, year.Date)}: take the cool hours, drink, rest in the shade."
                ),
            Phrase.Of($"feels like {Quantity.TemperatureC(most)} at worst, in the shade"),
            Phrase.Of(
                $"care from {Quantity.TemperatureC(HeatForPersonRule.ExtremeCautionC)}, danger from {Quantity.TemperatureC(HeatForPersonRule.DangerC)}"
            ),
            HeatSource
        );
    }

    private static Finding? Freeze(LawnYear year, Week week)
    {
        var days = week.DaysWhere(i => year.Site.Weather[WeatherColumn.AirTemperatureC][i] <= 0);
        if (days.Count == 0)
        {
            return null;
        }

        var least = -week.Most(i => -year.Site.Weather[WeatherColumn.AirTemperatureC][i]);
        var hard = least <= FrostRule.HardFreezeAirC;
        return new(
            Id,
            AdviceWeight.Cautions,
            hard
                ? Phrase.Of(
                    $"Hard freeze {DayNames.Of(days, year.Date)}: no sprinklers, drain hoses, and shield the outdoor taps."
                )
                : Phrase.Of(
                    $"Freeze {DayNames.Of(days, year.Date)}: no sprinklers on those nights, and drain hoses."
                ),
            Phrase.Of($"air down to {Quantity.TemperatureC(least)}"),
            Phrase.Of(
                $"freeze at {Quantity.TemperatureC(FrostRule.FreezeAirC)}, hard freeze at {Quantity.TemperatureC(FrostRule.HardFreezeAirC)}"
            ),
            FreezeSource
        );
    }

    private static Finding? Frost(LawnYear year, Week week)
    {
        var days = week.DaysWhere(i =>
            year.Site.FrostMm[i] > FrostTraceMm || year.Site.CanopyTemperatureC[i] < 0
        );
        return days.Count == 0
            ? null
            : new(
                Id,
                AdviceWeight.Cautions,
                Phrase.Of(
                    $"Frost on the grass {DayNames.Of(days, year.Date)}: keep feet and wheels off until it has thawed."
                ),
                Phrase.Of(
                    $"grass down to {Quantity.TemperatureC(-week.Most(i => -year.Site.CanopyTemperatureC[i]))}"
                ),
                Phrase.Of($"off the grass with ice on it"),
                FrostSource
            );
    }

    private static Finding? Wind(LawnYear year, Week week)
    {
        var weather = year.Site.Weather;
        var days = week.DaysWhere(i =>
            weather[WeatherColumn.WindGustMS][i] >= GustMS
            || weather[WeatherColumn.WindSpeedMS][i] >= WindMS
        );
        if (days.Count == 0)
        {
            return null;
        }

        var most = Math.Max(
            week.Most(i => weather[WeatherColumn.WindGustMS][i]),
            week.Most(i => weather[WeatherColumn.WindSpeedMS][i])
        );
        return new(
            Id,
            AdviceWeight.Cautions,
            Phrase.Of(
                $"High wind {DayNames.Of(days, year.Date)}: no spreading, seeding or sprinkling, and nobody under trees."
            ),
            Phrase.Of($"up to {Quantity.WindMS(most)}"),
            Phrase.Of(
                $"gusts of {Quantity.WindMS(GustMS)} or steady wind of {Quantity.WindMS(WindMS)}"
            ),
            WindSource
        );
    }

    private static Finding? Rain(LawnYear year, Week week)
    {
        var rain = week.Sums(year.Site.Weather[WeatherColumn.PrecipitationMm]);
        var days = rain.Where(d => d.Sum >= WashingRainMm).Select(d => d.Day).ToList();
        if (days.Count == 0)
        {
            return null;
        }

        var most = rain.Max(d => d.Sum);
        return new(
            Id,
            AdviceWeight.Cautions,
            most >= FloodingRainMm
                ? Phrase.Of(
                    $"Rain that may flood {DayNames.Of(days, year.Date)}: put down neither seed nor fertilizer before it, and never walk or drive through moving water."
                )
                : Phrase.Of(
                    $"Heavy rain {DayNames.Of(days, year.Date)}: put down neither seed nor fertilizer before it."
                ),
            Phrase.Of($"{Quantity.WaterMm(most)} on the wettest day"),
            Phrase.Of(
                $"heavy from {Quantity.WaterMm(WashingRainMm)} a day, flooding from {Quantity.WaterMm(FloodingRainMm)}"
            ),
            RainSource
        );
    }

    private static double IndexC(LawnYear year, int i)
    {
        var air = year.Site.Weather[WeatherColumn.AirTemperatureC][i];
        var humidity = year.Site.Weather[WeatherColumn.RelativeHumidityPercent][i];
        return double.IsNaN(air) || double.IsNaN(humidity) ? air : HeatIndex.Celsius(air, humidity);
    }

    // The hours from the present on, by the local day in which they begin.
    private sealed class Week
    {
        private readonly List<(int Index, LocalDate Day)> _hours = [];

        public Week(LawnYear year)
        {
            var zone = year.Lawn.Place.Zone;
            var end = year.Date.PlusDays(Days);
            for (var i = Math.Max(0, year.Site.IndexOf(year.Now)); i < year.Site.Count; i++)
            {
                var day = (year.Site.HourEnd(i) - Duration.FromHours(1)).InZone(zone).Date;
                if (day >= end)
                {
                    break;
                }

                _hours.Add((i, day));
            }
        }

        public List<LocalDate> DaysWhere(Func<int, bool> holds) =>
            [.. _hours.Where(h => holds(h.Index)).Select(h => h.Day).Distinct()];

        public double Most(Func<int, double> value) =>
            _hours
                .Select(h => value(h.Index))
                .Where(v => !double.IsNaN(v))
                .DefaultIfEmpty(double.NegativeInfinity)
                .Max();

        public List<(LocalDate Day, double Sum)> Sums(ReadOnlySpan<double> column)
        {
            var sums = new List<(LocalDate Day, double Sum)>();
            foreach (var (index, day) in _hours)
            {
                var value = double.IsNaN(column[index]) ? 0 : column[index];
                if (sums.Count > 0 && sums[^1].Day == day)
                {
                    sums[^1] = (day, sums[^1].Sum + value);
                }
                else
                {
                    sums.Add((day, value));
                }
            }

            return sums;
        }
    }
}
