using System.Collections.Immutable;
using System.Globalization;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>
/// When freezes usually begin and end at the place, told while the day is near: from six weeks before the early
/// end of the usual span to its late end, and of the first freeze only until one has been seen.
/// </summary>
internal static class FreezeFacts
{
    private const int DaysAhead = 42;
    private const int FewestSeasons = 9;

    public static void Add(Morning morning, ImmutableArray<BriefingFact>.Builder facts)
    {
        if (morning.Weather.Climate is not { } climate || climate.ColdSeasons.Count < FewestSeasons)
        {
            return;
        }

        var date = morning.Date;
        var season = date.Month >= 7 ? date.Year : date.Year - 1;
        var first = UsualFreeze.First(climate);
        if (IsNear(first.Early, first.Late) && !HasFrozen(morning, season))
        {
            facts.Add(new(Phrase.Of($"First freeze here"), Span(first)));
        }

        var last = UsualFreeze.Last(climate);
        if (IsNear(last.Early ?? last.Late, last.Late))
        {
            facts.Add(new(Phrase.Of($"Last freeze here"), Span(last)));
        }

        bool IsNear(UsualFreeze.MonthDay? early, UsualFreeze.MonthDay? late) =>
            early is { } from
            && date >= from.In(season).PlusDays(-DaysAhead)
            && date <= (late?.In(season) ?? new LocalDate(season + 1, 3, 1));

        Phrase Span(UsualFreeze usual)
        {
            var (early, late) = (Day(usual.Early), Day(usual.Late));
            var when = (early, late) switch
            {
                ({ } a, { } b) => $"usually between {a} and {b}",
                ({ } a, null) => $"seldom before {a}",
                (null, { } b) => $"seldom after {b}",
                _ => "seldom",
            };
            return usual.WithoutFreeze == 0
                ? Phrase.Of(
                    $"{when} over the wider area ({usual.Seasons} winters); low spots freeze earlier and later"
                )
                : Phrase.Of(
                    $"{when} over the wider area ({usual.Seasons} winters, {usual.WithoutFreeze} without a freeze); low spots freeze more often"
                );
        }

        string? Day(UsualFreeze.MonthDay? day)
        {
            if (day is not { } known)
            {
                return null;
            }

            var at = known.In(season);
            var month = at.ToString("MMM", CultureInfo.InvariantCulture);
            return morning.Lawn.Units == UnitSystem.Metric
                ? string.Create(CultureInfo.InvariantCulture, $"{at.Day} {month}")
                : string.Create(CultureInfo.InvariantCulture, $"{month} {at.Day}");
        }
    }

    private static bool HasFrozen(Morning morning, int season)
    {
        var hours = morning.Weather.Hours;
        var air = hours[WeatherColumn.AirTemperatureC];
        var start = PlaceClimateBuilder.SeasonStart(season).AtMidnight().InUtc().ToInstant();
        for (var i = 0; i < hours.Count && hours.HourEnd(i) <= morning.Now; i++)
        {
            if (air[i] <= 0 && hours.HourEnd(i) > start)
            {
                return true;
            }
        }

        return false;
    }
}
