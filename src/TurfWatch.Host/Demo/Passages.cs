using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Demo;

/// <summary>What fronts and storms do to one hour.</summary>
/// <param name="Cloud">Added cloud [%].</param>
/// <param name="Warmth">Added warmth [K].</param>
/// <param name="Moisture">Added dew point [K].</param>
/// <param name="Wind">Factor on the wind.</param>
/// <param name="RainMm">Rain [mm].</param>
internal readonly record struct Passage(
    double Cloud,
    double Warmth,
    double Moisture,
    double Wind,
    double RainMm
);

/// <summary>The fronts and the afternoon storms of an invented stretch of time.</summary>
internal sealed class Passages
{
    private readonly Passage[] _hours;

    public Passages(
        InventedClimate climate,
        Place place,
        Instant firstHourEnd,
        int hours,
        Dice dice
    )
    {
        _hours = new Passage[hours];
        Array.Fill(_hours, new Passage(0, 0, 0, 1, 0));
        for (var i = 0; i < hours; i++)
        {
            var local = (firstHourEnd + Duration.FromHours(i)).InZone(place.Zone);
            if (dice.Even() < InventedClimate.On(climate.FrontsPerMonth, local.DayOfYear) / 730)
            {
                Front(i, InventedClimate.On(climate.FrontRainMm, local.DayOfYear), dice);
            }

            if (
                local.Hour == 12
                && dice.Even() < InventedClimate.On(climate.StormChance, local.DayOfYear)
            )
            {
                Storm(i + 2 + (int)(6 * dice.Even()), climate.StormRainMm, dice);
            }
        }
    }

    public Passage this[int hour] => _hours[hour];

    private void Front(int arrival, double meanRainMm, Dice dice)
    {
        var strength = 0.6 + 0.8 * dice.Even();
        var rain = dice.Even() < 0.75 ? meanRainMm * dice.Waiting() : 0;
        var length = 2 + (int)(8 * dice.Even());
        for (var h = -18; h < 72; h++)
        {
            var before = h < 0 ? 1 + h / 18.0 : 0;
            var during = h >= 0 && h < length ? 1.0 : 0;
            var after = h >= length ? Math.Exp(-(h - length) / 24.0) : 0;
            // Most of the rain falls in the first half of the passage.
            var rainHere = during > 0 ? rain * 2 * (length - h) / (length * (length + 1.0)) : 0;
            Add(
                arrival + h,
                new Passage(
                    Cloud: strength * (55 * before + 80 * during) - 18 * strength * after,
                    Warmth: strength * (2.5 * before - 1.5 * during - 5 * after),
                    Moisture: strength * (2.5 * before + 3 * during - 4.5 * after),
                    Wind: 1 + strength * (0.25 * before + 0.6 * during + 0.3 * after),
                    RainMm: rainHere >= 0.1 ? rainHere : 0
                )
            );
        }
    }

    private void Storm(int start, double meanRainMm, Dice dice)
    {
        var rain = 1 + meanRainMm * dice.Waiting();
        var length = 1 + (int)(2 * dice.Even());
        for (var h = -2; h < length + 3; h++)
        {
            var during = h >= 0 && h < length;
            Add(
                start + h,
                new Passage(
                    Cloud: during ? 80 : 40,
                    Warmth: h < 0 ? 0 : -3,
                    Moisture: h < 0 ? 0.5 : 1.5,
                    Wind: during ? 1.6 : 1.1,
                    RainMm: during ? rain / length : 0
                )
            );
        }
    }

    private void Add(int hour, Passage more)
    {
        if (hour >= 0 && hour < _hours.Length)
        {
            var old = _hours[hour];
            _hours[hour] = new Passage(
                old.Cloud + more.Cloud,
                old.Warmth + more.Warmth,
                old.Moisture + more.Moisture,
                Math.Max(old.Wind, more.Wind),
                old.RainMm + more.RainMm
            );
        }
    }
}
