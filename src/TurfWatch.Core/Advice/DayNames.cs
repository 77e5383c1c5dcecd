using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Days of the coming week by their names.</summary>
public static class DayNames
{
    /// <summary>"today", "on Tuesday", "today, Thursday and Friday", "from Tuesday to Friday".</summary>
    /// <param name="days">The days in order, within a week of <paramref name="today"/>.</param>
    /// <param name="today">The local date.</param>
    public static string Of(IReadOnlyList<LocalDate> days, LocalDate today)
    {
        if (days.Count == 0)
        {
            return "";
        }

        if (days.Count == 1)
        {
            return days[0] == today ? "today" : $"on {Name(days[0])}";
        }

        if (days.Count > 2 && Period.DaysBetween(days[0], days[^1]) == days.Count - 1)
        {
            return $"from {Name(days[0])} to {Name(days[^1])}";
        }

        var list = string.Join(", ", days.SkipLast(1).Select(Name)) + " and " + Name(days[^1]);
        return days[0] == today ? list : $"on {list}";

        string Name(LocalDate day) =>
            day == today ? "today"
            : day == today.PlusDays(-1) ? "yesterday"
            : day.DayOfWeek.ToString();
    }
}
