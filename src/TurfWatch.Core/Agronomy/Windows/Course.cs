namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>What windows look for in the days of one course; a day that is not known never counts.</summary>
internal static class Course
{
    /// <summary>Mean of a column over a day and those before it; NaN when one is not known.</summary>
    /// <param name="column">A column of the course.</param>
    /// <param name="index">The last day of the mean.</param>
    /// <param name="days">Days in the mean.</param>
    public static double Mean(double[] column, int index, int days)
    {
        if (index - days + 1 < 0 || index >= column.Length)
        {
            return double.NaN;
        }

        double sum = 0;
        for (var i = index - days + 1; i <= index; i++)
        {
            sum += column[i];
        }

        return sum / days;
    }

    /// <summary>How many of a day and those before it had a minimum at or below a temperature.</summary>
    /// <param name="course">The days.</param>
    /// <param name="index">The last day.</param>
    /// <param name="days">Days looked at.</param>
    /// <param name="celsius">The temperature [°C].</param>
    public static int NightsAtOrBelow(SiteDays course, int index, int days, double celsius)
    {
        var nights = 0;
        for (var i = Math.Max(0, index - days + 1); i <= index; i++)
        {
            nights += course.AirMinC[i] <= celsius ? 1 : 0;
        }

        return nights;
    }
}
