using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Advice;

/// <summary>Heat for the person behind the mower, by the heat index.</summary>
public static class HeatForPersonRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "heat-for-person";

    /// <summary>"Extreme caution" begins: 90 °F [°C].</summary>
    public const double ExtremeCautionC = (90 - 32) / 1.8;

    /// <summary>"Danger" begins: 103 °F [°C].</summary>
    public const double DangerC = (103 - 32) / 1.8;

    private const string Source =
        "heat index: Rothfusz 1990 (NWS SR 90-23); NWS categories: extreme caution from 90 °F, danger from 103 °F, in the shade";

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var holds = Hold.Join(morning.HoursAhead.Select(i => HourHold(morning, i)).OfType<Hold>());
        var inHours = holds.Where(h => h.Within(morning.OwnerHours) > Duration.Zero).ToList();
        if (inHours.Count == 0)
        {
            return new(holds, []);
        }

        var danger = inHours.Where(h => h.Kind == HoldKind.Blocks).ToList();
        var highest = morning
            .HoursAhead.Select(i => IndexC(morning, i))
            .Where(t => !double.IsNaN(t))
            .Max();
        var text =
            danger.Count > 0
                ? Phrase.Of(
                    $"Dangerous heat from {danger[0].From} to {danger[^1].Until}: too hot to mow."
                )
                : Phrase.Of(
                    $"Hot work from {inHours[0].From} to {inHours[^1].Until}: drink, rest in the shade, stop if you feel unwell."
                );
        return new(
            holds,
            [
                new(
                    Id,
                    danger.Count > 0 ? morning.WeightOf([.. danger]) : AdviceWeight.Cautions,
                    text,
                    Phrase.Of(
                        $"feels like {Quantity.TemperatureC(highest)} at worst, in the shade; more in the sun"
                    ),
                    Phrase.Of(
                        $"care from {Quantity.TemperatureC(ExtremeCautionC)}, no mowing from {Quantity.TemperatureC(DangerC)}"
                    ),
                    Source
                ),
            ]
        );
    }

    private static Hold? HourHold(Morning morning, int i)
    {
        var index = IndexC(morning, i);
        var hour = morning.Hour(i);
        var from = Instant.Max(hour.Start, morning.Ahead.Start);
        return index >= DangerC ? new(from, hour.End, HoldKind.Blocks, "heat")
            : index >= ExtremeCautionC ? new(from, hour.End, HoldKind.Care, "hot")
            : null;
    }

    private static double IndexC(Morning morning, int i)
    {
        var weather = morning.Site.Weather;
        var air = weather[WeatherColumn.AirTemperatureC][i];
        var humidity = weather[WeatherColumn.RelativeHumidityPercent][i];
        return double.IsNaN(air) || double.IsNaN(humidity) ? air : HeatIndex.Celsius(air, humidity);
    }
}
