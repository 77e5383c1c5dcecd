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

    private static readonly Column Mean = new("T2M", -80, 60, ("c", 1));
    private static readonly Column Most = new("T2M_MAX", -80, 65, ("c", 1));
    private static readonly Column Least = new("T2M_MIN", -90, 60, ("c", 1));
    private static readonly Column Rain = new("PRECTOTCORR", 0, 2000, ("mm/day", 1));
    private static readonly Column DewPoint = new("T2MDEW", -90, 40, ("c", 1));
    private static readonly Column Wind = new("WS10M", 0, 90, ("m/s", 1));
    private static readonly Column Shortwave = new(
        "ALLSKY_SFC_SW_DWN",
        0,
        50,
        ("mj/m2/day", 1),
        ("kwhr/m2/day", 3.6),
        ("kwh/m2/day", 3.6)
    );

    private static readonly Column[] All = [Mean, Most, Least, Rain, DewPoint, Wind, Shortwave];

    public static readonly string Names = string.Join(',', All.Select(c => c.Name));

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
        var known = All.ToDictionary(c => c, Of);
        return
        [
            .. known
                .Values.SelectMany(c => c.Keys)
                .Distinct()
                .Order()
                .Select(day => new ClimateDay(
                    day,
                    On(Mean, day) + shift,
                    On(Least, day) + shift,
                    On(Most, day) + shift,
                    On(Rain, day),
                    On(DewPoint, day) + shift,
                    On(Wind, day),
                    On(Shortwave, day)
                )),
        ];

        double On(Column column, LocalDate day) => known[column].GetValueOrDefault(day, double.NaN);

        Dictionary<LocalDate, double> Of(Column column)
        {
            var values = parameters.GetValueOrDefault(column.Name) ?? [];
            var factor = column.FactorFrom(
                answer.Parameters?.GetValueOrDefault(column.Name)?.Units
            );
            var days = new Dictionary<LocalDate, double>(values.Count);
            foreach (var (stamp, given) in values)
            {
                var day = DayOf(stamp);
                if (
                    given is { } value
                    && !answer.IsFill(value)
                    && value * factor >= column.Least
                    && value * factor <= column.Most
                )
                {
                    days[day] = value * factor;
                }
            }

            return days;
        }
    }

    private static LocalDate DayOf(string stamp) =>
        Stamp.Parse(stamp) is { Success: true } parsed
            ? parsed.Value
            : throw new FormatException($"'{stamp}' is not a stamp of the form YYYYMMDD");

    /// <param name="Name">POWER's short name.</param>
    /// <param name="Least">Anything below is taken as missing.</param>
    /// <param name="Most">Anything above likewise.</param>
    /// <param name="Units">Accepted units in lower case without signs, and the factor to ours; the documented one first.</param>
    private sealed record Column(
        string Name,
        double Least,
        double Most,
        params (string Unit, double Factor)[] Units
    )
    {
        /// <summary>An answer that names no unit is in the documented one.</summary>
        public double FactorFrom(string? unit)
        {
            if (string.IsNullOrWhiteSpace(unit))
            {
                return 1;
            }

            var plain = unit.ToLowerInvariant().Replace(" ", "").Replace("^", "").Replace("-", "");
            foreach (var (known, factor) in Units)
            {
                if (known == plain)
                {
                    return factor;
                }
            }

            throw new FormatException($"{Name} is in '{unit}', not in {Units[0].Unit}");
        }
    }
}
