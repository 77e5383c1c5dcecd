using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Ground too wet for wheels: it ruts and packs.</summary>
public static class SoilBearingRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "soil-bearing";

    private const string Source =
        "soil wetter than field capacity packs and ruts under wheels: common practice; the limit for each soil is judgement, no source";

    /// <summary>
    /// Wetness of the top 5 cm above which the ground is too soft (1 is field capacity): the finer the
    /// soil, the less it bears above it.
    /// </summary>
    public static double TooWet(SoilTexture soil) =>
        soil switch
        {
            SoilTexture.Sand => 3,
            SoilTexture.SandyLoam => 1.8,
            SoilTexture.Loam => 1.4,
            SoilTexture.ClayLoam => 1.25,
            SoilTexture.Clay => 1.15,
            _ => throw new ArgumentOutOfRangeException(nameof(soil), soil, "use a named texture"),
        };

    /// <summary>Judges the day; silent while the soil water is not known.</summary>
    public static Judgement Judge(Morning morning)
    {
        var limit = TooWet(morning.Lawn.Soil);
        var holds = Hold.Join(
            morning
                .HoursAhead.Where(i => morning.Site.SurfaceSoilWetness[i] > limit)
                .Select(i => new Hold(
                    Instant.Max(morning.Hour(i).Start, morning.Ahead.Start),
                    morning.Hour(i).End,
                    HoldKind.Blocks,
                    "soft ground"
                ))
        );
        var inHours = holds
            .Where(h => h.Within(morning.OwnerHours) > Duration.Zero)
            .ToImmutableArray();
        if (inHours.IsEmpty)
        {
            return new(holds, []);
        }

        var wettest = morning
            .HoursAhead.Select(i => morning.Site.SurfaceSoilWetness[i])
            .Where(w => !double.IsNaN(w))
            .Max();
        return new(
            holds,
            [
                new(
                    Id,
                    morning.WeightOf(holds),
                    inHours[0].From > morning.Ahead.Start
                            ? Phrase.Of(
                                $"From {Clock.Near(inHours[0].From)} the ground is too soft for wheels."
                            )
                        : inHours[0].Until >= morning.OwnerHours.End
                            ? Phrase.Of($"The ground is too soft for wheels today.")
                        : Phrase.Of(
                            $"The ground is too soft for wheels until about {Clock.Up(inHours[0].Until)}."
                        ),
                    Phrase.Of(
                        $"top {morning.FiveCm} of soil at {Quantity.Percent(wettest * 100)} wetness, where 100 is drained"
                    ),
                    Phrase.Of($"no wheels above {Quantity.Percent(limit * 100)} on your soil"),
                    Source
                ),
            ]
        );
    }
}
