using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Mail.Composing;

namespace TurfWatch.Host.Commands;

/// <summary>Amounts as they are printed: four figures, in the reader's units.</summary>
internal sealed class AmountText(UnitSystem units)
{
    public bool Us => units == UnitSystem.UsCustomary;

    public string Mass(double kg) =>
        Us ? $"{Number(kg / Customary.PoundKg)} lb"
        : kg < 1 ? $"{Number(kg * 1000)} g"
        : $"{Number(kg)} kg";

    public string Rate(double gM2) =>
        Us
            ? $"{Number(gM2 / Customary.PoundPerThousandSquareFeet)} lb per 1,000 sq ft"
            : $"{Number(gM2)} g/m2";

    public string Area(double m2) =>
        Us ? $"{Number(m2 / Customary.SquareFootM2)} sq ft" : $"{Number(m2)} m2";

    public string Depth(double mm) =>
        Us ? $"{Number(mm / Customary.InchMm)} in" : $"{Number(mm)} mm";

    public string Volume(double litres) =>
        Us ? $"{Number(litres / WaterAmount.LitresPerGallon)} gallons" : $"{Number(litres)} litres";

    public string Sprinkler(double mmH) =>
        Us ? $"{Number(mmH / Customary.InchMm)} in/h" : $"{Number(mmH)} mm/h";

    /// <summary>Bags and what is left over of the last.</summary>
    public string Bags(double kg, double bagKg)
    {
        var bags = (int)Math.Ceiling((kg / bagKg) - 1e-9);
        return $"{bags} of {Mass(bagKg)}, {Mass(Math.Max(0, (bags * bagKg) - kg))} left over";
    }

    /// <summary>The spreader's two passes.</summary>
    public string TwoPasses(double kg) =>
        Line("Two passes", $"{Mass(kg / 2)} each, the second crossways to the first");

    public string Temperature(double celsius) =>
        Us
            ? $"{Number(Math.Round((celsius * 1.8) + 32))} F"
            : $"{Number(Math.Round(celsius, 1))} C";

    /// <summary>A phrase of the core in these units.</summary>
    public string Told(Phrase phrase, LocalDate today) => PhraseText.Of(phrase, units, today);

    /// <summary>What to mind, one dash each, after an empty line.</summary>
    public static IEnumerable<string> Minding(IEnumerable<string> cautions) =>
        cautions.Select(c => "- " + c).Prepend("");

    public static string Line(string label, string value) => $"{label, -14}{value}";

    public static string Number(double value, int figures = 4)
    {
        if (value == 0)
        {
            return "0";
        }

        var digits = figures - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
        if (digits < 0)
        {
            var step = Math.Pow(10, -digits);
            value =
                figures < 4
                    ? Math.Round(value / step, MidpointRounding.AwayFromZero) * step
                    : value;
        }

        digits = Math.Clamp(digits, 0, 4);
        return Math.Round(value, digits, MidpointRounding.AwayFromZero)
            .ToString("#,##0.####", CultureInfo.InvariantCulture);
    }
}
