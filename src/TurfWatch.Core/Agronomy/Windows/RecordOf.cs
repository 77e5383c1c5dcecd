using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>What the owner's journal says of a span of days.</summary>
internal static class RecordOf
{
    /// <summary>The last sowing of a kind of grass in a span, up to today; an entry without a grass counts for any.</summary>
    public static JournalEntry? Sown(
        LawnYear year,
        LocalDate from,
        LocalDate until,
        Func<GrassKind, bool> grass
    ) =>
        year.Record.Entries.LastOrDefault(e =>
            e.Kind == JournalKind.Seeded
            && e.Date >= from
            && e.Date <= LocalDate.Min(until, year.Date)
            && (e.Grass is not { } kind || grass(kind))
        );

    /// <summary>The last entry of a kind in a span, up to today.</summary>
    public static JournalEntry? Did(
        LawnYear year,
        JournalKind kind,
        LocalDate from,
        LocalDate until
    ) =>
        year.Record.Entries.LastOrDefault(e =>
            e.Kind == kind && e.Date >= from && e.Date <= LocalDate.Min(until, year.Date)
        );

    /// <summary>The last feeding of a grass in a span, up to today; an entry without a grass counts for any.</summary>
    public static JournalEntry? Fed(
        LawnYear year,
        GrassKind grass,
        LocalDate from,
        LocalDate until
    ) =>
        year.Record.Entries.LastOrDefault(e =>
            e.Kind == JournalKind.Fed
            && e.Date >= from
            && e.Date <= LocalDate.Min(until, year.Date)
            && (e.Grass ?? grass) == grass
        );
}
