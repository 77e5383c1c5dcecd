using System.Runtime.CompilerServices;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>When something first holds in the courses of a season outlook.</summary>
/// <remarks>
/// Each course is the days that were and those that may come. Its first day that holds is one date; a course without one
/// counts as later than all others. The dates in order give the spread: 10, 50 and 90 in 100, by <see cref="Quantile"/>,
/// rounded to a day. Without courses only what has already come can be told.
/// </remarks>
public static class FirstDay
{
    // The model is off by one of these, in its standard deviations, in each course: the middles of five equal shares of the normal distribution.
    private static readonly double[] Errors = [-1.2816, -0.5244, 0, 0.5244, 1.2816];

    private static readonly ConditionalWeakTable<SeasonOutlook, SiteDays[]> Joined = [];

    /// <summary>The first day on which <paramref name="holds"/>.</summary>
    /// <param name="outlook">The outlook.</param>
    /// <param name="from">First day looked at; may be past. An event before it does not count.</param>
    /// <param name="until">Last day looked at.</param>
    /// <param name="holds">Whether it holds on the day of this index of this course. It may look back to index 0; beyond is an error of the caller's.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="until"/> lies before <paramref name="from"/>.</exception>
    public static DateSpread Of(
        SeasonOutlook outlook,
        LocalDate from,
        LocalDate until,
        Func<SiteDays, int, bool> holds
    )
    {
        Check(from, until);
        var courses = Courses(outlook);
        return Spread(
            outlook,
            from,
            courses.Select(c => First(c, from, until, holds)),
            courses.Count
        );
    }

    /// <summary>The first day on which the soil at 10 cm, mean of that day and those before it, is below a temperature; also spread by the model's own error.</summary>
    /// <param name="outlook">The outlook.</param>
    /// <param name="from">First day looked at.</param>
    /// <param name="until">Last day looked at.</param>
    /// <param name="celsius">The temperature [°C].</param>
    /// <param name="days">Days in the mean, 1 or more.</param>
    public static DateSpread SoilMeanBelow(
        SeasonOutlook outlook,
        LocalDate from,
        LocalDate until,
        double celsius,
        int days = 5
    ) => SoilMean(outlook, from, until, days, (mean, error) => mean + error < celsius);

    /// <summary>The first day on which that mean is above a temperature.</summary>
    /// <param name="outlook">The outlook.</param>
    /// <param name="from">First day looked at.</param>
    /// <param name="until">Last day looked at.</param>
    /// <param name="celsius">The temperature [°C].</param>
    /// <param name="days">Days in the mean, 1 or more.</param>
    public static DateSpread SoilMeanAbove(
        SeasonOutlook outlook,
        LocalDate from,
        LocalDate until,
        double celsius,
        int days = 5
    ) => SoilMean(outlook, from, until, days, (mean, error) => mean + error > celsius);

    /// <summary>Each course from the first day that was (or, where that is not known, that past years put in its place); the days that were alone when there are no courses.</summary>
    public static IReadOnlyList<SiteDays> Courses(SeasonOutlook outlook) =>
        Joined.GetValue(
            outlook,
            o =>
                o.Traces.IsEmpty
                    ? [o.Past]
                    :
                    [
                        .. o.Traces.Select(t =>
                            t.Days.Over(t.Before is { } b ? o.Past.Over(b) : o.Past)
                        ),
                    ]
        );

    /// <summary>Mean of soil temperature at 10 cm over a day and those before it [°C]; NaN when one is not known.</summary>
    /// <param name="course">The days.</param>
    /// <param name="index">The last day of the mean.</param>
    /// <param name="days">Days in the mean.</param>
    public static double SoilMeanC(SiteDays course, int index, int days)
    {
        if (index - days + 1 < 0 || index >= course.Count)
        {
            return double.NaN;
        }

        double sum = 0;
        for (var i = index - days + 1; i <= index; i++)
        {
            sum += course.Soil10CmC[i];
        }

        return sum / days;
    }

    private static DateSpread SoilMean(
        SeasonOutlook outlook,
        LocalDate from,
        LocalDate until,
        int days,
        Func<double, double, bool> passes
    )
    {
        Check(from, until);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(days);
        var courses = Courses(outlook);
        var dates = courses.SelectMany(course =>
            Errors.Select(error =>
                First(
                    course,
                    from,
                    until,
                    (c, i) => passes(SoilMeanC(c, i, days), error * outlook.SoilErrorC)
                )
            )
        );
        return Spread(outlook, from, dates, courses.Count);
    }

    private static void Check(LocalDate from, LocalDate until)
    {
        if (until < from)
        {
            throw new ArgumentOutOfRangeException(
                nameof(until),
                until,
                $"the last day {until:uuuu-MM-dd} lies before the first, {from:uuuu-MM-dd}; give them in order"
            );
        }
    }

    private static LocalDate? First(
        SiteDays course,
        LocalDate from,
        LocalDate until,
        Func<SiteDays, int, bool> holds
    )
    {
        var last = Math.Min(course.IndexOf(until), course.Count - 1);
        for (var i = Math.Max(0, course.IndexOf(from)); i <= last; i++)
        {
            if (holds(course, i))
            {
                return course.Date(i);
            }
        }

        return null;
    }

    private static DateSpread Spread(
        SeasonOutlook outlook,
        LocalDate from,
        IEnumerable<LocalDate?> dates,
        int courses
    )
    {
        var days = dates
            .Select(d => d is { } day ? Period.DaysBetween(from, day) : double.PositiveInfinity)
            .Order()
            .ToArray();
        var without = days.Count(double.IsPositiveInfinity);
        if (outlook.Traces.IsEmpty)
        {
            // What has not come yet may come: nothing is known of it.
            return At(0.5) is { } past && past < outlook.Today
                ? new(At(0.1), past, At(0.9), 1, 0)
                : DateSpread.Unknown;
        }

        return new(
            At(0.1),
            At(0.5),
            At(0.9),
            courses,
            (int)Math.Round((double)without * courses / days.Length)
        );

        LocalDate? At(double share)
        {
            var day = Quantile.At(days, share);
            return double.IsFinite(day) ? from.PlusDays((int)Math.Round(day)) : null;
        }
    }
}
