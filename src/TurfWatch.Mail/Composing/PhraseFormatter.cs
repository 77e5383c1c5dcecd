using System.Globalization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts a phrase into the reader's units and zone. The result is plain text of one line: whoever writes HTML escapes it.</summary>
/// <param name="today">The local day that the message is about; other days are named.</param>
internal sealed class PhraseFormatter(UnitSystem units, DateTimeZone zone, LocalDate today)
    : IFormatProvider,
        ICustomFormatter
{
    private const int LongestText = 200;

    private static readonly LocalTimePattern Twelve = LocalTimePattern.CreateWithInvariantCulture(
        "h:mm tt"
    );

    private static readonly LocalTimePattern TwentyFour =
        LocalTimePattern.CreateWithInvariantCulture("HH:mm");

    public UnitSystem Units => units;

    public LocalDate Today => today;

    public string Text(Phrase phrase) =>
        PlainText.OneLine(string.Format(this, phrase.Format, [.. phrase.Arguments]));

    public string Format(string? format, object? arg, IFormatProvider? formatProvider) =>
        arg switch
        {
            Quantity quantity => QuantityText.Of(quantity, units),
            Instant instant => Moment(instant),
            LocalTime time => Clock(time),
            LocalDate date => Day(date),
            int number => number.ToString("#,##0", CultureInfo.InvariantCulture),
            string text => PlainText.Clip(PlainText.OneLine(text), LongestText),
            Phrase phrase => Text(phrase),
            _ => "",
        };

    public object? GetFormat(Type? formatType) =>
        formatType == typeof(ICustomFormatter) ? this : null;

    /// <summary>Clock time, with the day when it is another day than the message's.</summary>
    public string Moment(Instant instant)
    {
        var local = Rounded(instant).InZone(zone).LocalDateTime;
        var clock = Clock(local.TimeOfDay);
        var days = Period.DaysBetween(today, local.Date);
        return days switch
        {
            0 => clock,
            1 => $"{clock} tomorrow",
            -1 => $"{clock} yesterday",
            > 1 and < 7 or < -1 and > -7 => $"{clock} {local.DayOfWeek}",
            _ => $"{clock} {Short(local.Date)}",
        };
    }

    public string Clock(LocalTime time)
    {
        if (units == UnitSystem.Metric)
        {
            return TwentyFour.Format(time);
        }

        return (time.Hour, time.Minute) switch
        {
            (0, 0) => "midnight",
            (12, 0) => "noon",
            _ => Twelve.Format(time).ToLowerInvariant().Replace(' ', PlainText.NoBreak),
        };
    }

    /// <summary>Seconds are noise here; half a minute and more belongs to the next minute.</summary>
    private static Instant Rounded(Instant instant) =>
        Instant.FromUnixTimeSeconds((instant.ToUnixTimeSeconds() + 30) / 60 * 60);

    /// <summary>The start of an hour for a narrow column: "7 am", "noon", "07:00".</summary>
    public string HourOf(Instant start)
    {
        var clock = Clock(start.InZone(zone).TimeOfDay);
        return units == UnitSystem.Metric
            ? clock
            : clock.Replace(":00", "", StringComparison.Ordinal);
    }

    public LocalDateTime Local(Instant instant) => instant.InZone(zone).LocalDateTime;

    /// <summary>Further off than two weeks a day of the week tells nothing.</summary>
    public string Day(LocalDate date) =>
        Math.Abs(Period.DaysBetween(today, date)) switch
        {
            0 => "today",
            <= 14 => LongDay(date),
            _ => Short(date),
        };

    public string LongDay(LocalDate date) => $"{date.DayOfWeek}, {Short(date)}";

    /// <summary>Month and day: "Oct 1".</summary>
    public string MonthDay(LocalDate date)
    {
        var month = date.ToString("MMM", CultureInfo.InvariantCulture);
        return units == UnitSystem.Metric ? $"{date.Day} {month}" : $"{month} {date.Day}";
    }

    /// <summary>Month and day, with the year when it is more than half a year away.</summary>
    public string Short(LocalDate date) =>
        Math.Abs(Period.DaysBetween(today, date)) > 180
            ? $"{MonthDay(date)}, {date.Year}"
            : MonthDay(date);
}
