using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>
/// Off the grass while it is frozen: frost on the leaves, or air at frost temperature under a clear calm sky. What
/// then melts is wet, which <see cref="WetLeavesRule"/> sees to; frozen ground is <see cref="FrozenGroundRule"/>'s.
/// </summary>
public static class FrostRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "frost";

    /// <summary>Air at screen height at or below which frost forms on a clear calm night: 36 °F [°C].</summary>
    public const double FrostAirC = 2.2;

    /// <summary>Freeze: 32 °F [°C].</summary>
    public const double FreezeAirC = 0;

    /// <summary>Hard freeze: 28 °F [°C].</summary>
    public const double HardFreezeAirC = -2.2;

    /// <summary>Cloud below which the sky counts as clear here [%]; judgement.</summary>
    public const double ClearPercent = 40;

    /// <summary>Wind below which the air counts as calm here [m/s]; judgement.</summary>
    public const double CalmMS = 2.5;

    private const double FrostTraceMm = 0.005;

    private const string Source =
        "NC State Extension AG-763W: frozen leaves are broken by traffic, stay off until thawed; levels 36, 32, 28 °F: NWS Jackson";

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var holds = Hold.Join(
            morning
                .HoursAhead.Select(i =>
                    Note(morning, i) is { } note
                        ? new Hold(
                            Instant.Max(morning.Hour(i).Start, morning.Ahead.Start),
                            morning.Hour(i).End,
                            HoldKind.Blocks,
                            note
                        )
                        : (Hold?)null
                )
                .OfType<Hold>()
        );
        if (!holds.Any(h => h.Within(morning.OwnerHours) > Duration.Zero))
        {
            return new(holds, []);
        }

        var coldest = Coldest(morning);
        return new(
            holds,
            [
                new(
                    Id,
                    morning.WeightOf(holds),
                    Text(morning, holds),
                    Evidence(coldest.AirC, coldest.LeafC),
                    Phrase.Of(
                        $"off the grass with ice on it, or with the air at {Quantity.TemperatureC(FrostAirC)} or less under a clear calm sky"
                    ),
                    Source
                ),
            ]
        );
    }

    // What is frozen in the hour, or null.
    private static string? Note(Morning morning, int i)
    {
        var site = morning.Site;
        var air = site.Weather[WeatherColumn.AirTemperatureC][i];
        var cloud = site.Weather[WeatherColumn.CloudCoverPercent][i];
        var wind = site.Weather[WeatherColumn.WindSpeedMS][i];
        var ice =
            site.FrostMm[i] > FrostTraceMm
            || (i > 0 && site.FrostMm[i - 1] > FrostTraceMm)
            || site.CanopyTemperatureC[i] < 0;
        var radiationFrost = air <= FrostAirC && !(cloud >= ClearPercent) && !(wind >= CalmMS);
        return ice || radiationFrost ? "frost" : null;
    }

    private static Phrase Text(Morning morning, ImmutableArray<Hold> holds)
    {
        var first = holds[0];
        if (first.Until >= morning.OwnerHours.End)
        {
            return Phrase.Of($"The grass stays frosted today: keep feet and wheels off it.");
        }

        if (first.From > morning.Ahead.Start)
        {
            return Phrase.Of($"Frost is likely again from {first.From}.");
        }

        return Phrase.Of(
            $"Frozen until about {first.Until}: frozen blades snap underfoot, so keep off until they have thawed."
        );
    }

    private static (double AirC, double LeafC) Coldest(Morning morning)
    {
        var site = morning.Site;
        var air = double.PositiveInfinity;
        var leaf = double.PositiveInfinity;
        var last = Math.Min(site.Count, site.IndexOf(morning.OwnerHours.End) + 1);
        for (var i = Math.Max(0, site.IndexOf(morning.DayStart)); i < last; i++)
        {
            var t = site.Weather[WeatherColumn.AirTemperatureC][i];
            air = t < air ? t : air;
            leaf = site.CanopyTemperatureC[i] < leaf ? site.CanopyTemperatureC[i] : leaf;
        }

        return (air, leaf);
    }

    private static Phrase Evidence(double airC, double leafC)
    {
        var air = Quantity.TemperatureC(airC);
        var grass = Quantity.TemperatureC(leafC);
        return airC switch
        {
            <= HardFreezeAirC => Phrase.Of(
                $"hard freeze: air down to {air}, grass down to {grass}"
            ),
            <= FreezeAirC => Phrase.Of($"freeze: air down to {air}, grass down to {grass}"),
            <= FrostAirC => Phrase.Of($"frost: air down to {air}, grass down to {grass}"),
            _ => Phrase.Of(
                $"grass down to {grass} by losing heat to the sky, while the air stays at {air} or more"
            ),
        };
    }
}
