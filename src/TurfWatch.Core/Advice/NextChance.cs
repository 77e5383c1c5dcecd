using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>On a day without mowing: how the owner's next days look, as far as the forecast reaches.</summary>
public static class NextChance
{
    /// <summary>Id of the finding.</summary>
    public const string Id = "next-chance";

    /// <summary>Days ahead from which no hours are named; judgement.</summary>
    public const int VagueFromDays = 3;

    private const int Horizon = 7;
    private const int DaysTried = 2;
    private const string Source =
        "the rules of this message, applied to the forecast of that day; no hours three or more days ahead: judgement";

    /// <summary>The owner's next mowing day after this one; null when there is none.</summary>
    public static LocalDate? NextOwnDay(Morning morning) =>
        OwnDays(morning, morning.Date).Select(d => (LocalDate?)d).FirstOrDefault();

    /// <summary>The finding; null when there is nothing to say: mowing today, grass at rest or not due, no forecast.</summary>
    public static Finding? Look(Morning morning, Decided today)
    {
        if (
            today.Advice.Verdict != MowingVerdict.NotToday
            || morning.Growing.Canopy == CanopyState.Dormant
        )
        {
            return null;
        }

        var earliest = morning.Date;
        if (GrowthNeedRule.NotYet(morning))
        {
            if (morning.Need.Due is not { } due)
            {
                return null;
            }

            earliest = due.PlusDays(-1);
        }

        if (SkippedRule.Until(morning.Record, morning.Date) is { } again)
        {
            earliest = LocalDate.Max(earliest, again.PlusDays(-1));
        }

        LocalDate? bad = null;
        foreach (var day in OwnDays(morning, earliest).Take(DaysTried))
        {
            var then = Morning.Of(
                morning.Lawn,
                morning.Record,
                morning.Site,
                morning.Weather,
                morning.Now,
                day
            );
            var decided = MowingDecision.Decide(then);
            if (decided.Advice is { From: { } from, Until: { } until })
            {
                return Good(morning, then, new(from, until), bad);
            }

            if (UnseenHoursRule.Blind(then))
            {
                break;
            }

            bad ??= day;
        }

        return bad is { } dull ? Bad(morning, dull) : null;
    }

    private static Finding Good(Morning morning, Morning then, Interval window, LocalDate? bad)
    {
        var day = then.Date;
        var lead = Period.DaysBetween(morning.Date, day);
        var hours = Quantity.Hours(Math.Floor((window.End - window.Start).TotalHours));
        var (from, until) = (Local(morning, window.Start), Local(morning, window.End));
        var text = (lead >= VagueFromDays, bad) switch
        {
            (false, null) => Phrase.Of($"Next chance: {day}, likely {from} to {until}."),
            (false, { } poor) => Phrase.Of(
                $"Next chance: {day}, likely {from} to {until}; {poor} does not look fit."
            ),
            (true, null) => Phrase.Of(
                $"Next chance: {day}. So far it looks fit, with about {hours} open; that is {lead} days ahead and can still turn."
            ),
            (true, { } poor) => Phrase.Of(
                $"Next chance: {day}, as {poor} does not look fit. So far about {hours} are open; that is {lead} days ahead and can still turn."
            ),
        };
        return new(
            Id,
            AdviceWeight.Informs,
            text,
            Evidence(then, window),
            Phrase.Of($"every rule allows it"),
            Source
        );
    }

    private static Finding Bad(Morning morning, LocalDate day) =>
        new(
            Id,
            AdviceWeight.Informs,
            Period.DaysBetween(morning.Date, day) >= VagueFromDays
                ? Phrase.Of(
                    $"Your next mowing day, {day}, does not look fit so far; that can still turn."
                )
                : Phrase.Of($"Your next mowing day, {day}, does not look fit either."),
            Phrase.Of($"no stretch of that day passes every rule"),
            Phrase.Of(
                $"{Quantity.Hours(morning.Lawn.MowingTime.TotalHours)} that every rule allows"
            ),
            Source
        );

    private static Phrase Evidence(Morning then, Interval window)
    {
        var chances = then
            .HoursAhead.Where(i =>
                then.Hour(i).Start < window.End && then.Hour(i).End > window.Start
            )
            .Select(i => then.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i])
            .Where(c => !double.IsNaN(c))
            .ToList();
        return chances.Count == 0
            ? Phrase.Of($"leaves likely dry; no chance of rain is given")
            : Phrase.Of(
                $"leaves likely dry; chance of rain in any of those hours at most {Quantity.Percent(chances.Max())}"
            );
    }

    private static IEnumerable<LocalDate> OwnDays(Morning morning, LocalDate after)
    {
        var lawn = morning.Lawn;
        for (var ahead = 1; ahead <= Horizon; ahead++)
        {
            var day = morning.Date.PlusDays(ahead);
            if (
                day > after
                && (lawn.MowDays.IsDefaultOrEmpty || lawn.MowDays.Contains(day.DayOfWeek))
            )
            {
                yield return day;
            }
        }
    }

    private static LocalTime Local(Morning morning, Instant instant) =>
        instant.InZone(morning.Zone).TimeOfDay;
}
