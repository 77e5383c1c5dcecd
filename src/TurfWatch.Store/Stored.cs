using System.Globalization;
using NodaTime;
using NodaTime.Text;

namespace TurfWatch.Store;

/// <summary>The form of instants and local dates in every kind of database.</summary>
internal static class Stored
{
    /// <summary>Milliseconds since 1970, the form of an instant.</summary>
    public static long Ms(Instant instant) => instant.ToUnixTimeMilliseconds();

    /// <summary>A span in the same unit.</summary>
    public static long Ms(Duration span) => (long)span.TotalMilliseconds;

    public static Instant At(long ms) => Instant.FromUnixTimeMilliseconds(ms);

    public static string Iso(LocalDate date) =>
        date.ToString("uuuu-MM-dd", CultureInfo.InvariantCulture);

    public static LocalDate? Date(string? iso) =>
        iso is null ? null : LocalDatePattern.Iso.Parse(iso).Value;
}
