using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>The days that were and those of the forecast in one row, for models that look back a few days.</summary>
/// <param name="year">The year.</param>
internal readonly struct WeekDays(LawnYear year)
{
    private readonly SeasonOutlook _outlook = year.Outlook;

    /// <summary>One value of a day; NaN when the day is neither known nor forecast.</summary>
    public double Value(Func<SiteDays, double[]> column, LocalDate day)
    {
        if (At(_outlook.Past, column, day) is { } known)
        {
            return known;
        }

        var ahead = Period.DaysBetween(_outlook.Today, day);
        return ahead >= 0 && ahead < _outlook.ForecastDays && !_outlook.Traces.IsDefaultOrEmpty
            ? At(_outlook.Traces[0].Days, column, day) ?? double.NaN
            : double.NaN;
    }

    /// <summary>Mean of the <paramref name="count"/> days that end with a day; NaN unless all are known.</summary>
    public double Mean(Func<SiteDays, double[]> column, LocalDate day, int count)
    {
        double sum = 0;
        for (var back = 0; back < count; back++)
        {
            sum += Value(column, day.PlusDays(-back));
        }

        return sum / count;
    }

    private static double? At(SiteDays days, Func<SiteDays, double[]> column, LocalDate day)
    {
        var i = days.IndexOf(day);
        return i >= 0 && i < days.Count && !double.IsNaN(column(days)[i]) ? column(days)[i] : null;
    }
}
