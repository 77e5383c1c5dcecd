using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Physics;

/// <summary>Past years' days by the calendar of the coming one.</summary>
internal sealed class PastCalendar(PastYears years, SiteDays soil, LocalDate today)
{
    /// <summary>
    /// Years to go back for each past year of which the days from today on are known. This year is none of them; a negative number
    /// is a year after, in trials that hide one year among others.
    /// </summary>
    /// <param name="days">Days that must be known.</param>
    /// <param name="share">Share of them that must be.</param>
    public List<int> Shifts(int days, double share)
    {
        var shifts = new List<int>();
        for (
            var shift = today.Year - years.First.Year;
            shift >= today.Year - years.Last.Year;
            shift--
        )
        {
            var known = 0;
            for (var i = 0; i < days; i++)
            {
                known += Known(Source(today.PlusDays(i), shift)) ? 1 : 0;
            }

            if (shift != 0 && known >= share * days)
            {
                shifts.Add(shift);
            }
        }

        return shifts;
    }

    /// <summary>The year that a day of the course is from.</summary>
    public static int YearOf(LocalDate day, int shift) => Source(day, shift).Year;

    /// <summary>The rows of a past year by this year's dates; a day that it lacks is the next past year's.</summary>
    public SiteDays Days(IReadOnlyList<int> shifts, int k, LocalDate first, int count)
    {
        var days = SiteDays.Unknown(first, count);
        for (var i = 0; i < count; i++)
        {
            if (Find(shifts, k, first.PlusDays(i), Known) is { } source)
            {
                days.CopyRow(i, soil, soil.IndexOf(source));
            }
        }

        return days;
    }

    /// <summary>The hours of a past year from the end of the forecast on, by this year's dates.</summary>
    public IReadOnlyList<ClimateDay> Weather(
        IReadOnlyList<int> shifts,
        int k,
        OutlookStart start,
        int days
    )
    {
        var result = new List<ClimateDay>();

        // One day to either side, for the nights at the ends.
        for (var i = start.ForecastDays - 1; i <= days; i++)
        {
            var date = today.PlusDays(i);
            if (Find(shifts, k, date, WeatherKnown) is { } source)
            {
                result.Add(
                    years.Days[Period.DaysBetween(years.First, source)] with
                    {
                        Date = date,
                    }
                );
            }
        }

        return result;
    }

    /// <summary>Usual soil temperature of each day of the year [°C].</summary>
    public ImmutableArray<double> UsualSoil10CmC() =>
        [
            .. PlaceClimateBuilder.Usual(
                Enumerable.Range(0, soil.Count).Select(i => (soil.Date(i), soil.Soil10CmC[i]))
            ),
        ];

    // PlusYears makes 28 February of a 29th where the year has none.
    private static LocalDate Source(LocalDate day, int shift) => day.PlusYears(-shift);

    private static LocalDate? Find(
        IReadOnlyList<int> shifts,
        int k,
        LocalDate day,
        Func<LocalDate, bool> known
    )
    {
        for (var n = 0; n < shifts.Count; n++)
        {
            var source = Source(day, shifts[(k + n) % shifts.Count]);
            if (known(source))
            {
                return source;
            }
        }

        return null;
    }

    private bool Known(LocalDate date) =>
        soil.IndexOf(date) is var i && i >= 0 && i < soil.Count && !double.IsNaN(soil.Soil10CmC[i]);

    private bool WeatherKnown(LocalDate date) =>
        Period.DaysBetween(years.First, date) is var i
        && i >= 0
        && i < years.Days.Length
        && !double.IsNaN(years.Days[i].MinC + years.Days[i].MaxC);
}
