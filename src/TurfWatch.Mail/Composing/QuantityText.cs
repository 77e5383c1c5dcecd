using System.Globalization;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>A number in the units that a person chose, rounded to what the number is worth.</summary>
internal static class QuantityText
{
    // Exact by definition: the international inch and avoirdupois pound (NIST SP 811, appendix B.8).
    private const double MmPerInch = 25.4;
    private const double CmPerInch = 2.54;
    private const double MetresPerMile = 1609.344;
    private const double KgPerPound = 0.45359237;
    private const double M2PerSquareFoot = 0.3048 * 0.3048;

    /// <summary>Number and unit are joined by a no-break space.</summary>
    public static string Of(Quantity quantity, UnitSystem units) =>
        Written(quantity, units).Replace(' ', PlainText.NoBreak);

    private static string Written(Quantity quantity, UnitSystem units)
    {
        if (!double.IsFinite(quantity.Value))
        {
            return "unknown";
        }

        var (value, us) = (quantity.Value, units == UnitSystem.UsCustomary);
        return quantity.Kind switch
        {
            QuantityKind.Temperature => us
                ? $"{Number(value * 1.8 + 32, 0)} °F"
                : $"{Number(value, 1)} °C",
            QuantityKind.TemperatureDifference => us
                ? $"{Number(value * 1.8, 0)} °F"
                : $"{Number(value, 1)} °C",
            QuantityKind.WaterDepth => us ? Inches(value / MmPerInch) : Millimetres(value),
            QuantityKind.GrassHeight => us
                ? Blades(value / CmPerInch)
                : $"{Number(Half(value), 1)} cm",
            QuantityKind.WindSpeed => us
                ? $"{Number(value * 3600 / MetresPerMile, 0)} mph"
                : $"{Number(value, value < 10 ? 1 : 0)} m/s",
            QuantityKind.Percent => Share(value),
            QuantityKind.Area => us
                ? $"{Grouped(value / M2PerSquareFoot)} sq ft"
                : $"{Grouped(value)} m²",
            QuantityKind.AreaRate => us
                ? $"{Number(value / 1000 / KgPerPound * 1000 * M2PerSquareFoot, 2)} lb per 1,000 sq ft"
                : $"{Number(value, 1)} g/m²",
            QuantityKind.Mass => us
                ? $"{Number(value / KgPerPound, 1)} lb"
                : $"{Number(value, 1)} kg",
            QuantityKind.Hours => Span(value),
            _ => Number(value, 2),
        };
    }

    /// <summary>A temperature for a column that names its unit at the top: whole degrees.</summary>
    public static string BareTemperature(double celsius, UnitSystem units) =>
        !double.IsFinite(celsius)
            ? "?"
            : Number(units == UnitSystem.UsCustomary ? celsius * 1.8 + 32 : celsius, 0);

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

    // Mowers are set in quarter inches; less than an inch is growth, not a setting.
    private static string Blades(double inches)
    {
        if (inches < 1)
        {
            return $"{Number(inches, 1)} inch";
        }

        var quarters = Math.Round(inches * 4, MidpointRounding.AwayFromZero) / 4;
        return quarters == 1 ? "1 inch" : $"{Number(quarters, 2)} inches";
    }

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
        return (rounded == 0 ? 0 : rounded).ToString( // no "-0"
            decimals == 0 ? "0" : "0." + new string('#', decimals),
            CultureInfo.InvariantCulture
        );
    }
}
