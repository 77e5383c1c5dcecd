using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The part of a year in which a window is looked for.</summary>
/// <param name="Year">Names the season: the year of its first day.</param>
/// <param name="From">First day.</param>
/// <param name="Until">Last day.</param>
internal readonly record struct Season(int Year, LocalDate From, LocalDate Until)
{
    /// <summary>The season that a date lies in, or else the next one.</summary>
    public static Season At(LocalDate date, AnnualDate from, AnnualDate until)
    {
        var season = In(date.Year - 1, from, until);
        while (season.Until < date)
        {
            season = In(season.Year + 1, from, until);
        }

        return season;
    }

    /// <summary>The season that begins in a year.</summary>
    public static Season In(int year, AnnualDate from, AnnualDate until) =>
        new(year, from.InYear(year), until.InYear(from <= until ? year : year + 1));
}
