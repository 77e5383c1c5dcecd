using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>Reads the outlook's daily columns by date: what was, and how the coming days spread over the courses.</summary>
internal static class DayColumns
{
    /// <summary>The value of a past day; NaN when not known.</summary>
    public static double At(SiteDays days, double[] column, LocalDate date)
    {
        var i = days.IndexOf(date);
        return i >= 0 && i < column.Length ? column[i] : double.NaN;
    }

    /// <summary>Past values of the days in [from, end).</summary>
    public static IEnumerable<double> Past(
        SeasonOutlook outlook,
        Func<SiteDays, double[]> column,
        LocalDate from,
        LocalDate end
    )
    {
        for (var date = from; date < end; date = date.PlusDays(1))
        {
            yield return At(outlook.Past, column(outlook.Past), date);
        }
    }

    /// <summary>A quantile over the courses for each of the coming days.</summary>
    public static ImmutableArray<double> Ahead(
        SeasonOutlook outlook,
        Func<SiteDays, int, double> value,
        int days,
        double quantile
    )
    {
        var result = ImmutableArray.CreateBuilder<double>(days);
        for (var day = 0; day < days; day++)
        {
            var values = outlook
                .Traces.Where(t => day < t.Days.Count)
                .Select(t => value(t.Days, day))
                .Where(v => !double.IsNaN(v))
                .Order()
                .ToArray();
            result.Add(Quantile.At(values, quantile));
        }

        return result.MoveToImmutable();
    }

    /// <summary>Sum and count of what is known.</summary>
    public static (double Sum, int Known) Total(IEnumerable<double> values)
    {
        double sum = 0;
        var known = 0;
        foreach (var value in values)
        {
            if (!double.IsNaN(value))
            {
                sum += value;
                known++;
            }
        }

        return (sum, known);
    }
}
