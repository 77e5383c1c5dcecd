using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Hours without a forecast, or of which the physics could make nothing, are never called fine.</summary>
public static class UnseenHoursRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "unseen-hours";

    private const string Source = "house rule: missing weather is never taken for good weather";

    /// <summary>Whether there is a forecast at all for what is left of the day.</summary>
    public static bool Blind(Morning morning) =>
        morning.Weather.Note(DataSubject.Forecast)?.Standing == DataStanding.Missing
        || morning.HoursAhead.All(i => !Seen(morning.Site, i));

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var ahead = morning.Ahead;
        if (Blind(morning))
        {
            return new(
                [new(ahead.Start, ahead.End, HoldKind.Unseen, "no forecast")],
                [
                    new(
                        Id,
                        AdviceWeight.Blocks,
                        Phrase.Of(
                            $"We have no forecast for today, so we name no hour; go by the leaves and the sky."
                        ),
                        Phrase.Of($"no forecast hours for the rest of the day"),
                        Phrase.Of($"an hour must be seen to be called fine"),
                        Source
                    ),
                ]
            );
        }

        var holds = new List<Hold>();
        var seenUntil = ahead.Start;
        foreach (var i in morning.HoursAhead)
        {
            var hour = morning.Hour(i);
            if (hour.Start > seenUntil)
            {
                holds.Add(Unseen(seenUntil, hour.Start));
            }

            if (!Seen(morning.Site, i))
            {
                holds.Add(Unseen(hour.Start, hour.End));
            }

            seenUntil = hour.End;
        }

        if (seenUntil < ahead.End)
        {
            holds.Add(Unseen(seenUntil, ahead.End));
        }

        var joined = Hold.Join(holds);
        if (!joined.Any(h => h.Within(morning.OwnerHours) > Duration.Zero))
        {
            return new(joined, []);
        }

        var first = joined.First(h => h.Within(morning.OwnerHours) > Duration.Zero);
        return new(
            joined,
            [
                new(
                    Id,
                    morning.WeightOf(joined),
                    Phrase.Of(
                        $"We cannot see {first.From} to {first.Until}: the weather for it is missing, so it is not counted as good."
                    ),
                    Phrase.Of(
                        $"{(int)joined.Sum(h => h.Within(morning.OwnerHours).TotalHours)} of your hours are unseen"
                    ),
                    Phrase.Of($"an hour must be seen to be called fine"),
                    Source
                ),
            ]
        );
    }

    private static Hold Unseen(Instant from, Instant until) =>
        new(from, until, HoldKind.Unseen, "not known");

    private static bool Seen(SiteConditions site, int index) =>
        !double.IsNaN(site.WetChancePercent[index])
        && !double.IsNaN(site.Weather[WeatherColumn.AirTemperatureC][index])
        && !(
            double.IsNaN(site.Weather[WeatherColumn.PrecipitationProbabilityPercent][index])
            && double.IsNaN(site.Weather[WeatherColumn.PrecipitationMm][index])
        );
}
