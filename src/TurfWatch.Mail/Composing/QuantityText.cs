using System.Globalization;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>A number in the units that a person chose, rounded to what the number is worth.</summary>
internal static class QuantityText
{
    // An eighth of an inch or a tenth of a centimetre that was set comes through the arithmetic to this.
    private const double AsSet = 1e-6;

    /// <summary>Number and unit are joined by a no-break space.</summary>
    public static string Of(Quantity quantity, UnitSystem units) =>
        Written(quantity, units).Replace(' ', PlainText.NoBreak);

    private static string Written(Quantity quantity, UnitSystem units)
    {
        if (!double.IsFinite(quantity.Value))
        {
            return "unknown";
        }

        var us = units == UnitSystem.UsCustomary;
        var value = InUnit(quantity.Kind, quantity.Value, units);
        var unit = UnitOf(quantity.Kind, units);
        return quantity.Kind switch
        {
            QuantityKind.Temperature or QuantityKind.TemperatureDifference =>
                $"{Number(value, us ? 0 : 1)} {unit}",
            QuantityKind.WaterDepth => us ? Inches(value) : Millimetres(value),
            QuantityKind.GrassHeight => us ? Blades(value, 4) : $"{Number(Half(value), 1)} {unit}",
            QuantityKind.CutHeight => us
                ? Blades(value, IsSet(value * 8) ? 8 : 4)
                : $"{Number(IsSet(value * 10) ? value : Half(value), 1)} {unit}",
            QuantityKind.WindSpeed => $"{Number(value, !us && value < 10 ? 1 : 0)} {unit}",
            QuantityKind.Percent => Share(value),
            QuantityKind.Area => $"{Grouped(value)} {unit}",
            QuantityKind.AreaRate => $"{Rate(value, us)} {unit}",
            QuantityKind.Mass => Weight(value, us),
            QuantityKind.Hours => Span(value),
            _ => Number(value, 2),
        };
    }

    /// <summary>The unit that a column or an axis names once, for its bare numbers.</summary>
    public static string UnitOf(QuantityKind kind, UnitSystem units)
    {
        var us = units == UnitSystem.UsCustomary;
        return kind switch
        {
            QuantityKind.Temperature or QuantityKind.TemperatureDifference => us ? "°F" : "°C",
            QuantityKind.WaterDepth => us ? "inch" : "mm",
            QuantityKind.GrassHeight or QuantityKind.CutHeight => us ? "inch" : "cm",
            QuantityKind.WindSpeed => us ? "mph" : "m/s",
            QuantityKind.Percent => "%",
            QuantityKind.Area => us ? "sq ft" : "m²",
            QuantityKind.AreaRate => us ? "lb per 1,000 sq ft" : "g/m²",
            QuantityKind.Mass => us ? "lb" : "kg",
            QuantityKind.Hours => "hours",
            _ => "",
        };
    }

    /// <summary>A value in the unit that <see cref="UnitOf"/> names, not rounded.</summary>
    public static double InUnit(QuantityKind kind, double value, UnitSystem units) =>
        units != UnitSystem.UsCustomary
            ? value
            : kind switch
            {
                QuantityKind.Temperature => value * 1.8 + 32,
                QuantityKind.TemperatureDifference => value * 1.8,
                QuantityKind.WaterDepth => value / Customary.InchMm,
                QuantityKind.GrassHeight or QuantityKind.CutHeight => value / Customary.InchCm,
                QuantityKind.WindSpeed => value * 3600 / Customary.MileM,
                QuantityKind.Area => value / Customary.SquareFootM2,
                QuantityKind.AreaRate => value / Customary.PoundPerThousandSquareFeet,
                QuantityKind.Mass => value / Customary.PoundKg,
                _ => value,
            };

    /// <summary>A number for a column that names its unit at the top; "?" when not known.</summary>
    public static string Bare(QuantityKind kind, double value, UnitSystem units)
    {
        if (!double.IsFinite(value))
        {
            return "?";
        }

        var number = InUnit(kind, value, units);
        return (kind, units) switch
        {
            (QuantityKind.WaterDepth, UnitSystem.UsCustomary) => number is > 0 and < 0.005
                ? "<0.01"
                : number.ToString(number == 0 ? "0" : "0.00", CultureInfo.InvariantCulture),
            (QuantityKind.WaterDepth, _) => number is > 0 and < 0.05
                ? "<0.1"
                : Number(number, number < 10 ? 1 : 0),
            _ => Number(number, 0),
        };
    }

    /// <summary>A chance for a column.</summary>
    public static string BareShare(double percent) =>
        double.IsFinite(percent) ? $"{Number(percent, 0)}%" : "?";

    public static string Share(double percent) =>
        percent switch
        {
            > 0 and < 0.5 => "under 1%",
            > 99.5 and < 100 => "over 99%",
            _ => $"{Number(percent, 0)}%",
        };

    private static string Inches(double inches) =>
        inches switch
        {
            > 0 and < 0.005 => "under 0.01 inch",
            0 => "0 inches",
            < 0.995 => $"{inches.ToString("0.00", CultureInfo.InvariantCulture)} inch",
            < 1.05 => "1.0 inch",
            _ => $"{inches.ToString("0.0", CultureInfo.InvariantCulture)} inches",
        };

    private static string Millimetres(double mm) =>
        mm switch
        {
            > 0 and < 0.005 => "under 0.01 mm",
            < 1 => $"{Number(mm, 2)} mm",
            < 10 => $"{Number(mm, 1)} mm",
            _ => $"{Number(mm, 0)} mm",
        };

    // A spreader or a scale shows no more: a hundredth of a pound below 2, then a tenth; from 20 on whole ones.
    private static string Rate(double rate, bool us) =>
        (rate, us) switch
        {
            (> 0 and < 0.005, true) => "under 0.01",
            (> 0 and < 0.05, false) => "under 0.1",
            (_, true) => Number(
                rate,
                rate < 2 ? 2
                    : rate < 20 ? 1
                    : 0
            ),
            _ => Number(rate, rate < 100 ? 1 : 0),
        };

    // Below a pound or a kilogram in the smaller unit, as a kitchen scale shows it.
    private static string Weight(double mass, bool us) =>
        (mass, us) switch
        {
            (> 0 and < 0.95, true) =>
                $"{Number(Math.Max(0.1, mass * 16), mass < 0.0625 ? 1 : 0)} oz",
            (> 0 and < 0.95, false) => $"{Number(Math.Max(1, mass * 1000), 0)} g",
            (>= 100, _) => $"{Grouped(mass)} {(us ? "lb" : "kg")}",
            _ => $"{Number(mass, 1)} {(us ? "lb" : "kg")}",
        };

    // Mowers are set in quarter inches; less than an inch is growth, not a setting.
    // To the quarter, as one reads a ruler in grass; a height of cut that was set to an eighth is told as it was set.
    private static string Blades(double inches, int parts)
    {
        if (inches < 1 && parts == 4)
        {
            return $"{Number(inches, 1)} inch";
        }

        var told = Math.Round(inches * parts, MidpointRounding.AwayFromZero) / parts;
        return told <= 1 ? $"{Number(told, 3)} inch" : $"{Number(told, 3)} inches";
    }

    private static bool IsSet(double parts) => Math.Abs(parts - Math.Round(parts)) < AsSet;

    private static double Half(double cm) =>
        cm < 2 ? cm : Math.Round(cm * 2, MidpointRounding.AwayFromZero) / 2;

    private static string Span(double hours) =>
        hours switch
        {
            > 0 and <= 0.95 => $"{Number(Math.Max(5, Math.Round(hours * 12) * 5), 0)} minutes",
            > 0.95 and < 1.05 => "1 hour",
            >= 48 => $"{Number(hours / 24, 1)} days",
            _ => $"{Number(hours, 1)} hours",
        };

    private static string Grouped(double value) =>
        Math.Round(value, MidpointRounding.AwayFromZero)
            .ToString("#,##0", CultureInfo.InvariantCulture);

    private static string Number(double value, int decimals)
    {
        var rounded = Math.Round(value, decimals, MidpointRounding.AwayFromZero);
        return rounded switch
        {
            0 => "0", // no "-0"
            > -1e15 and < 1e15 when decimals == 0 => ((long)rounded).ToString(
                CultureInfo.InvariantCulture
            ),
            _ => rounded.ToString(
                decimals switch
                {
                    0 => "0",
                    1 => "0.#",
                    _ => "0." + new string('#', decimals),
                },
                CultureInfo.InvariantCulture
            ),
        };
    }
}
