using System.Globalization;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Core;

namespace TurfWatch.Weather.NasaPower;

/// <summary>Turns a daily POWER answer into days of ours.</summary>
internal static class PowerDays
{
    private static readonly LocalDatePattern Stamp = LocalDatePattern.CreateWithInvariantCulture(
        "uuuuMMdd"
    );

    private static readonly Column Mean = new("T2M", -80, 60, "c");
    private static readonly Column Most = new("T2M_MAX", -80, 65, "c");
    private static readonly Column Least = new("T2M_MIN", -90, 60, "c");
    private static readonly Column Rain = new("PRECTOTCORR", 0, 2000, "mm/day");

    public static readonly string Names = string.Join(
        ',',
        new[] { Mean, Most, Least, Rain }.Select(c => c.Name)
    );

    /// <summary>The days of <paramref name="answer"/>; a fill value is missing, parameter by parameter.</summary>
    /// <param name="answer">The answer.</param>
    /// <param name="elevationM">Height of the place; temperatures are brought from POWER's cell to it. Null leaves them.</param>
    /// <exception cref="FormatException">The answer cannot be read; the message says why.</exception>
    public static IReadOnlyList<ClimateDay> Read(PowerAnswer answer, double? elevationM)
    {
        if (answer.Properties?.Parameter is not { } parameters)
        {
            throw new FormatException("the answer has no properties.parameter");
        }

        if (
            answer.Header?.TimeStandard is { } standard
            && !standard.Equals("LST", StringComparison.OrdinalIgnoreCase)
        )
        {
            throw new FormatException($"asked for LST, answered in '{standard}'");
        }

        var shift = answer.ShiftTo(elevationM);
        var (mean, least, most, rain) = (Of(Mean), Of(Least), Of(Most), Of(Rain));
        return
        [
            .. mean
                .Keys.Union(least.Keys)
                .Union(most.Keys)
                .Union(rain.Keys)
                .Order()
                .Select(day => new ClimateDay(
                    day,
                    mean.GetValueOrDefault(day, double.NaN) + shift,
                    least.GetValueOrDefault(day, double.NaN) + shift,
                    most.GetValueOrDefault(day, double.NaN) + shift,
                    rain.GetValueOrDefault(day, double.NaN)
                )),
        ];

        Dictionary<LocalDate, double> Of(Column column)
        {
            var values = parameters.GetValueOrDefault(column.Name) ?? [];
            if (answer.Parameters?.GetValueOrDefault(column.Name)?.Units is { } unit)
            {
                RequireUnit(column, unit);
            }

            var days = new Dictionary<LocalDate, double>(values.Count);
            foreach (var (stamp, given) in values)
            {
                var day = DayOf(stamp);
                if (
                    given is { } value
                    && !answer.IsFill(value)
                    && value >= column.Least
                    && value <= column.Most
                )
                {
                    days[day] = value;
                }
            }

            return days;
        }
    }

    private static void RequireUnit(Column column, string unit)
    {
        var plain = unit.ToLowerInvariant().Replace(" ", "").Replace("^", "");
        if (plain.Length > 0 && plain != column.Unit)
        {
            throw new FormatException($"{column.Name} is in '{unit}', not in {column.Unit}");
        }
    }

    private static LocalDate DayOf(string stamp) =>
        Stamp.Parse(stamp) is { Success: true } parsed
            ? parsed.Value
            : throw new FormatException($"'{stamp}' is not a stamp of the form YYYYMMDD");

    /// <param name="Name">POWER's short name.</param>
    /// <param name="Least">Anything below is taken as missing.</param>
    /// <param name="Most">Anything above likewise.</param>
    /// <param name="Unit">The documented unit, in lower case.</param>
    private sealed record Column(string Name, double Least, double Most, string Unit);
}
