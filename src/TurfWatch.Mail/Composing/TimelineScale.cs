using System.Globalization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>The line of days that the bars of a timeline stand on: whole months from <paramref name="start"/> to <paramref name="end"/> (exclusive).</summary>
internal sealed class TimelineScale(LocalDate start, LocalDate end, LocalDate today)
{
    // Farther back or ahead is not drawn; the words still tell it.
    private const int MostDaysBack = 75;
    private const int MostDaysAhead = 330;

    /// <summary>So many month names fit side by side on a phone.</summary>
    private const int MostNames = 6;

    private readonly int _days = Period.DaysBetween(start, end);

    public static TimelineScale For(IReadOnlyList<SeasonWindow> windows, LocalDate today)
    {
        LocalDate[] dates =
        [
            today,
            .. windows
                .SelectMany(w => new[] { w.Opens, w.Closes })
                .OfType<DateSpread>()
                .SelectMany(s => new[] { s.Earliest, s.Median, s.Latest })
                .OfType<LocalDate>()
                .Where(d => d > today.PlusDays(-MostDaysBack) && d < today.PlusDays(MostDaysAhead)),
        ];
        var first = dates.Min();
        var last = dates.Max().PlusDays(3);
        return new(
            new(first.Year, first.Month, 1),
            new LocalDate(last.Year, last.Month, 1).PlusMonths(1),
            today
        );
    }

    public IReadOnlyList<MonthView> Months()
    {
        var months = new List<MonthView>();
        var step =
            (Period.Between(start, end, PeriodUnits.Months).Months + MostNames - 1) / MostNames;
        for (var month = start; month < end; month = month.PlusMonths(step))
        {
            var next = LocalDate.Min(month.PlusMonths(step), end);
            var name = month.ToString("MMM", CultureInfo.InvariantCulture);
            var days = Period.DaysBetween(month, next);
            // A name needs a tenth of a phone's width; the last months may have less.
            months.Add(new(days * 10 >= _days ? name : "", Share(days)));
        }

        return months;
    }

    /// <summary>The bar of a window, day by day, equal days joined; empty when it holds no day of this line.</summary>
    public IReadOnlyList<BarPiece> Bar(SeasonWindow window)
    {
        var looks = new string[_days];
        Array.Fill(looks, "none");
        Event(looks, window);
        if (Array.TrueForAll(looks, l => l == "none"))
        {
            return [];
        }

        Paint(looks, today, today.PlusDays(_days / 120), "today");
        var pieces = new List<BarPiece>();
        for (int from = 0, to; from < _days; from = to)
        {
            to = from;
            while (to < _days && looks[to] == looks[from])
            {
                to++;
            }

            pieces.Add(new(looks[from], Share(to - from)));
        }

        return pieces;
    }

    private void Event(string[] looks, SeasonWindow window)
    {
        var opens = window.Opens;
        if ((opens.Earliest ?? opens.Median) is not { } first)
        {
            return;
        }

        if (window.Closes is not { } closes)
        {
            // An event: its likely range, and its middle.
            Paint(looks, first, opens.Latest ?? end, "maybe");
            if (opens.Median is { } on)
            {
                Paint(looks, on, on.PlusDays(_days / 80), "sure");
            }

            return;
        }

        Paint(looks, first, closes.Latest ?? end, "maybe");
        if (opens.Median is { } open)
        {
            Paint(looks, open, closes.Median ?? closes.Earliest ?? open, "sure");
        }

        if (window.Best is { Median: { } from } best)
        {
            Paint(looks, best.Earliest ?? from, best.Latest ?? from, "best");
        }
    }

    private void Paint(string[] looks, LocalDate from, LocalDate to, string look)
    {
        var first = Math.Max(0, Period.DaysBetween(start, from));
        var last = Math.Min(_days - 1, Period.DaysBetween(start, to));
        for (var day = first; day <= last; day++)
        {
            looks[day] = look;
        }
    }

    private string Share(int days) =>
        (100.0 * days / _days).ToString("0.##", CultureInfo.InvariantCulture);
}
