using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>No mowing into rain: hours in which it is likely are out, hours in which it may fall want an eye on the sky.</summary>
public static class RainAheadRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "rain-ahead";

    /// <summary>Chance of measurable rain from which an hour is out [%].</summary>
    public const double LikelyPercent = 50;

    /// <summary>Chance of measurable rain from which an hour wants care [%].</summary>
    public const double PossiblePercent = 25;

    /// <summary>Rain that counts as measurable [mm]: 0.01 in.</summary>
    public const double MeasurableMm = 0.25;

    private const string Source =
        "common practice; the chances at which it bites are judgement, no source";

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var holds = Hold.Join(morning.HoursAhead.Select(i => Hour(morning, i)).OfType<Hold>());
        var likely = holds
            .Where(h => h.Kind == HoldKind.Blocks && h.Until > morning.Ahead.Start)
            .ToImmutableArray();
        var inHours = holds.Where(h => h.Within(morning.OwnerHours) > Duration.Zero).ToList();
        if (likely.Any(h => h.Within(morning.OwnerHours) > Duration.Zero))
        {
            return new(holds, [Likely(morning, likely)]);
        }

        if (inHours.Count > 0)
        {
            return new(holds, [Possible(morning, inHours)]);
        }

        var highest = Highest(morning);
        return double.IsNaN(highest)
            ? new(holds, [])
            : new(
                holds,
                [
                    new(
                        Id,
                        AdviceWeight.Supports,
                        Phrase.Of($"No rain to speak of in your hours."),
                        Phrase.Of($"highest chance in any hour {Quantity.Percent(highest)}"),
                        Threshold(),
                        Source
                    ),
                ]
            );
    }

    private static Hold? Hour(Morning morning, int i)
    {
        var chance = morning.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i];
        var rain = morning.Site.Weather[WeatherColumn.PrecipitationMm][i];
        var hour = morning.Hour(i);
        if (chance >= LikelyPercent || (double.IsNaN(chance) && rain >= MeasurableMm))
        {
            return new(hour.Start, hour.End, HoldKind.Blocks, "rain");
        }

        return chance >= PossiblePercent || rain >= MeasurableMm
            ? new(hour.Start, hour.End, HoldKind.Care, "maybe rain")
            : null;
    }

    private static Finding Likely(Morning morning, ImmutableArray<Hold> likely)
    {
        var first = likely[0];
        var text =
            first.From <= morning.Ahead.Start
                ? first.Until >= morning.OwnerHours.End
                    ? Phrase.Of($"Rain is likely all day.")
                    : Phrase.Of($"Rain is likely until about {first.Until}.")
                : Phrase.Of($"Rain is likely from about {first.From}; be done by then.");
        return new(
            Id,
            morning.WeightOf(likely),
            text,
            Evidence(morning, first),
            Threshold(),
            Source
        );
    }

    private static Finding Possible(Morning morning, List<Hold> possible) =>
        new(
            Id,
            AdviceWeight.Cautions,
            Phrase.Of(
                $"A shower may come between {possible[0].From} and {possible[^1].Until}; keep an eye on the sky."
            ),
            Evidence(morning, possible[0] with { Until = possible[^1].Until }),
            Threshold(),
            Source
        );

    private static Phrase Evidence(Morning morning, Hold span)
    {
        double mm = 0;
        var chance = double.NaN;
        var known = true;
        foreach (var i in morning.HoursAhead.Where(i => Overlaps(morning, i, span)))
        {
            var rain = morning.Site.Weather[WeatherColumn.PrecipitationMm][i];
            known &= !double.IsNaN(rain);
            mm += double.IsNaN(rain) ? 0 : rain;
            chance = Max(
                chance,
                morning.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i]
            );
        }

        return (double.IsNaN(chance), known && mm >= MeasurableMm) switch
        {
            (false, true) => Phrase.Of(
                $"chance up to {Quantity.Percent(chance)}, about {Quantity.WaterMm(mm)}"
            ),
            (false, false) => Phrase.Of($"chance up to {Quantity.Percent(chance)}"),
            _ => Phrase.Of($"about {Quantity.WaterMm(mm)} foretold"),
        };
    }

    private static bool Overlaps(Morning morning, int i, Hold span) =>
        span.Within(morning.Hour(i)) > Duration.Zero;

    private static double Highest(Morning morning) =>
        morning
            .HoursAhead.Where(i =>
                new Hold(
                    morning.OwnerHours.Start,
                    morning.OwnerHours.End,
                    HoldKind.Care,
                    ""
                ).Within(morning.Hour(i)) > Duration.Zero
            )
            .Select(i => morning.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i])
            .Aggregate(double.NaN, Max);

    private static double Max(double a, double b) =>
        double.IsNaN(a) ? b
        : double.IsNaN(b) ? a
        : Math.Max(a, b);

    private static Phrase Threshold() =>
        Phrase.Of(
            $"out from a chance of {Quantity.Percent(LikelyPercent)} in the hour, care from {Quantity.Percent(PossiblePercent)}"
        );
}
