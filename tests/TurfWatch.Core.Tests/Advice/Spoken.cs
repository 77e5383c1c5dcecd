using System.Globalization;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>Writes phrases out as an American reader would see them, for tests that look at wording.</summary>
internal static class Spoken
{
    private static readonly LocalTimePattern Clock = LocalTimePattern.CreateWithInvariantCulture(
        "h:mm tt"
    );

    public static string InUs(this Phrase phrase, DateTimeZone zone) =>
        string.Format(
            CultureInfo.InvariantCulture,
            phrase.Format,
            [.. phrase.Arguments.Select(a => Say(a, zone))]
        );

    private static object Say(object argument, DateTimeZone zone) =>
        argument switch
        {
            Instant i => Say(i.InZone(zone).TimeOfDay),
            LocalTime t => Say(t),
            LocalDate d => d.ToString("ddd MMM d", CultureInfo.InvariantCulture),
            Quantity q => Say(q),
            Phrase p => p.InUs(zone),
            _ => argument,
        };

    private static string Say(LocalTime time) =>
        Clock.Format(time).ToLowerInvariant().Replace(":00", "", StringComparison.Ordinal);

    private static string Say(Quantity q) =>
        q.Kind switch
        {
            QuantityKind.Temperature => Round(q.Value * 1.8 + 32, 0) + " °F",
            QuantityKind.TemperatureDifference => Round(q.Value * 1.8, 0) + " °F",
            QuantityKind.WaterDepth => Round(q.Value / 25.4, 2) + " in",
            QuantityKind.GrassHeight or QuantityKind.CutHeight => Round(q.Value / 2.54, 1) + " in",
            QuantityKind.Percent => Round(q.Value, 0) + " %",
            QuantityKind.Hours => Round(q.Value, 1) + " h",
            QuantityKind.WindSpeed => Round(q.Value * 2.23694, 0) + " mph",
            _ => Round(q.Value, 2),
        };

    private static string Round(double value, int digits) =>
        Math.Round(value, digits).ToString("0.##", CultureInfo.InvariantCulture);
}
