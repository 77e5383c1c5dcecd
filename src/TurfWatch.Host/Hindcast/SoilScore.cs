using System.Globalization;
using NodaTime;

namespace TurfWatch.Host.Hindcast;

/// <summary>Errors of one series of numbers.</summary>
internal readonly record struct ErrorSummary(int Count, double Bias, double Rmse)
{
    public static ErrorSummary Of(IEnumerable<(double Model, double Measured)> pairs)
    {
        double sum = 0,
            squares = 0;
        var count = 0;
        foreach (var (model, measured) in pairs)
        {
            var error = model - measured;
            if (!double.IsNaN(error))
            {
                sum += error;
                squares += error * error;
                count++;
            }
        }

        return count == 0
            ? new(0, double.NaN, double.NaN)
            : new(count, sum / count, Math.Sqrt(squares / count));
    }

    public override string ToString() =>
        Count == 0
            ? "no pairs"
            : string.Create(
                CultureInfo.InvariantCulture,
                $"RMSE {Rmse:F2}  bias {Bias:+0.00;-0.00}"
            );
}

/// <summary>Means of local solar days, and the dates on which they pass a threshold.</summary>
internal static class SoilScore
{
    private const int FewestHours = 20;
    private const int RunDays = 5;

    /// <summary>The sun's day, by whole hours, that an hour lies in.</summary>
    public static LocalDate DayOf(Instant hourEnd, double longitudeDeg) =>
        (hourEnd + Duration.FromHours(Math.Round(longitudeDeg / 15)) - Duration.FromMinutes(30))
            .InUtc()
            .Date;

    /// <summary>Daily means, days of at least 20 known hours; the day is that of the sun, by whole hours.</summary>
    public static SortedDictionary<LocalDate, double> Daily(
        Instant firstHourEnd,
        ReadOnlySpan<double> values,
        double longitudeDeg,
        int from = 0
    )
    {
        var sums = new Dictionary<LocalDate, (double Sum, int Count)>();
        for (var i = from; i < values.Length; i++)
        {
            if (!double.IsNaN(values[i]))
            {
                var date = DayOf(firstHourEnd + Duration.FromHours(i), longitudeDeg);
                var (sum, count) = sums.GetValueOrDefault(date);
                sums[date] = (sum + values[i], count + 1);
            }
        }

        var days = new SortedDictionary<LocalDate, double>();
        foreach (var (date, (sum, count)) in sums)
        {
            if (count >= FewestHours)
            {
                days[date] = sum / count;
            }
        }

        return days;
    }

    /// <summary>Mean of each day and the six before it, where all seven are known.</summary>
    public static SortedDictionary<LocalDate, double> SevenDayMean(
        SortedDictionary<LocalDate, double> daily
    ) => Trailing(daily, 7);

    private static SortedDictionary<LocalDate, double> Trailing(
        SortedDictionary<LocalDate, double> daily,
        int length
    )
    {
        var means = new SortedDictionary<LocalDate, double>();
        foreach (var date in daily.Keys)
        {
            double sum = 0;
            var whole = true;
            for (var d = 0; d < length && whole; d++)
            {
                whole = daily.TryGetValue(date.PlusDays(-d), out var value);
                sum += value;
            }

            if (whole)
            {
                means[date] = sum / length;
            }
        }

        return means;
    }

    public static IEnumerable<(double, double)> Pairs(
        SortedDictionary<LocalDate, double> model,
        SortedDictionary<LocalDate, double> measured,
        SortedDictionary<LocalDate, double> alsoIn
    ) =>
        from day in measured
        where model.ContainsKey(day.Key) && alsoIn.ContainsKey(day.Key)
        select (model[day.Key], day.Value);

    /// <summary>For each year the first day from <paramref name="firstMonth"/> on of five on which the five-day mean is past the threshold.</summary>
    public static Dictionary<int, LocalDate> Crossings(
        SortedDictionary<LocalDate, double> daily,
        double threshold,
        bool rising,
        int firstMonth,
        int lastMonth
    )
    {
        var dates = new Dictionary<int, LocalDate>();
        var means = Trailing(daily, RunDays);
        foreach (var year in daily.Keys.Select(d => d.Year).Distinct())
        {
            int run = 0,
                gaps = 0;
            var end = new LocalDate(year, lastMonth, 28);
            for (var day = new LocalDate(year, firstMonth, 1); day <= end; day = day.PlusDays(1))
            {
                if (!means.TryGetValue(day, out var mean))
                {
                    run = 0;
                    gaps++;
                    continue;
                }

                run = (rising ? mean >= threshold : mean <= threshold) ? run + 1 : 0;
                if (run == RunDays)
                {
                    // After a month of gaps the true date may lie in one.
                    if (gaps < 30)
                    {
                        dates[year] = day.PlusDays(1 - RunDays);
                    }

                    break;
                }
            }
        }

        return dates;
    }
}
