using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>
/// No wheels on frozen or half-thawed ground: the roots are torn where a thawed skin slides over ice, and a mower slides too.
/// </summary>
public static class FrozenGroundRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "frozen-ground";

    /// <summary>Note of the hours.</summary>
    public const string Note = "frozen ground";

    /// <summary>Soil at 5 cm at or below which the ground is taken to be frozen [°C]: freezing soil stands at zero.</summary>
    public const double FrozenSoilC = 0;

    /// <summary>
    /// Soil at 5 cm at or below which a day of frost has frozen the top above it, and above which frost at 10 cm no
    /// longer counts, for ground that warm has let go of its ice [°C]; judgement.
    /// </summary>
    public const double ColdSoilC = 2;

    private const int DayHours = 24;
    private const int KnownHours = 18;

    private const string Source =
        "no traffic on frozen or half-thawed ground: common practice, no source; how warm the soil at 5 cm may be above frost or under a crust, 2 °C, is judgement";

    /// <summary>Judges the day; silent while the soil temperature is not known.</summary>
    public static Judgement Judge(Morning morning)
    {
        var holds = Hold.Join(
            morning
                .HoursAhead.Where(i => Frozen(morning.Site, i))
                .Select(i => new Hold(
                    Instant.Max(morning.Hour(i).Start, morning.Ahead.Start),
                    morning.Hour(i).End,
                    HoldKind.Blocks,
                    Note
                ))
        );
        if (!holds.Any(h => h.Within(morning.OwnerHours) > Duration.Zero))
        {
            return new(holds, []);
        }

        var onlyBelow = morning
            .HoursAhead.Where(i => Frozen(morning.Site, i))
            .All(i => !FrozenOnTop(morning.Site, i));
        return new(
            holds,
            [
                new(
                    Id,
                    morning.WeightOf(holds),
                    Text(morning, holds, onlyBelow),
                    onlyBelow
                        ? Phrase.Of(
                            $"soil down to {Coldest(morning, morning.Site.SoilTemperature10CmC)} at {morning.TenCm} today, {Coldest(morning, morning.Site.SoilTemperature5CmC)} at {morning.FiveCm}"
                        )
                        : Phrase.Of(
                            $"soil down to {Coldest(morning, morning.Site.SoilTemperature5CmC)} at {morning.FiveCm} today"
                        ),
                    onlyBelow
                        ? Phrase.Of(
                            $"no wheels with the soil at {Quantity.TemperatureC(FrozenSoilC)} or less at {morning.TenCm} under a top of {Quantity.TemperatureC(ColdSoilC)} or less"
                        )
                        : Phrase.Of(
                            $"no wheels with the soil at {Quantity.TemperatureC(FrozenSoilC)} or less at {morning.FiveCm}, or below {Quantity.TemperatureC(ColdSoilC)} after a day of frost"
                        ),
                    Source
                ),
            ]
        );
    }

    /// <summary>Whether the ground is frozen in an hour of a site: at the top, or below a thawed top.</summary>
    internal static bool Frozen(SiteConditions site, int i) =>
        FrozenOnTop(site, i)
        || (
            site.SoilTemperature10CmC[i] <= FrozenSoilC && site.SoilTemperature5CmC[i] <= ColdSoilC
        );

    private static bool FrozenOnTop(SiteConditions site, int i)
    {
        var soil = site.SoilTemperature5CmC[i];
        return soil <= FrozenSoilC || (soil <= ColdSoilC && DayOfFrost(site, i));
    }

    private static Phrase Text(Morning morning, ImmutableArray<Hold> holds, bool onlyBelow)
    {
        var first = holds[0];
        if (onlyBelow)
        {
            return first.Until >= morning.OwnerHours.End
                ? Phrase.Of(
                    $"The ground is thawed on top and frozen below: the turf slides on it and roots tear, so keep wheels off."
                )
                : Phrase.Of(
                    $"The ground is thawed on top and frozen below until about {Clock.Up(first.Until)}: the turf slides on it and roots tear, so keep wheels off."
                );
        }

        if (first.From > morning.Ahead.Start)
        {
            return Phrase.Of(
                $"From {Clock.Near(first.From)} the ground freezes: keep wheels off it."
            );
        }

        return first.Until >= morning.OwnerHours.End
            ? Phrase.Of($"The ground is frozen: keep wheels off it.")
            : Phrase.Of(
                $"The ground is frozen until about {Clock.Up(first.Until)}: keep wheels off it, and go by how firm it is after that."
            );
    }

    private static Quantity Coldest(Morning morning, double[] soil) =>
        Quantity.TemperatureC(
            morning.HoursAhead.Select(i => soil[i]).Where(t => !double.IsNaN(t)).Min()
        );

    // The mean of the air over the 24 hours that end with the hour is below freezing.
    private static bool DayOfFrost(SiteConditions site, int index)
    {
        var air = site.Weather[WeatherColumn.AirTemperatureC];
        double sum = 0;
        var known = 0;
        for (var i = Math.Max(0, index - DayHours + 1); i <= index; i++)
        {
            if (!double.IsNaN(air[i]))
            {
                sum += air[i];
                known++;
            }
        }

        return known >= KnownHours && sum / known < 0;
    }
}
