using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Watching for new seed, from the sowing on record until it is up or overdue.</summary>
/// <remarks>The days are those of the grass (<c>grasses.json</c>). Two weeks after the last of them it is no longer looked for; judgement.</remarks>
internal static class GerminationWatch
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "germination";

    /// <summary>Days after which overdue seed is given up; judgement.</summary>
    public const int OverdueDays = 14;

    /// <summary>Days after a sowing for which the watch is shown.</summary>
    private const int ShownDays = 75;

    /// <summary>The last sowing on record and its grass, or null.</summary>
    public static (JournalEntry Entry, GrassKind Grass)? Last(LawnYear year) =>
        year.Record.Last(JournalKind.Seeded, year.Date) is { } entry
            ? (entry, GrassOf(year.Lawn, entry))
            : null;

    /// <summary>The grass of a sowing: as told, else the overseed from August to January, else the base.</summary>
    public static GrassKind GrassOf(Lawn lawn, JournalEntry entry) =>
        entry.Grass
        ?? (entry.Date.Month is >= 8 or 1 && lawn.Overseed is { } rye ? rye : lawn.Grass);

    /// <summary>When seed of that sowing was seen up; null when not on record.</summary>
    public static LocalDate? Up(LawnYear year, JournalEntry sown) =>
        year
            .Record.Entries.FirstOrDefault(e =>
                e.Kind == JournalKind.Germinated && e.Date >= sown.Date && e.Date <= year.Date
            )
            ?.Date;

    /// <summary>Judges it; null without a sowing in the last weeks, or of a grass that is not sown.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        if (
            Last(year) is not var (entry, kind)
            || Grasses.Of(kind).Germination is not { } days
            || entry.Date.PlusDays(ShownDays) < year.Date
        )
        {
            return null;
        }

        var grass = Grasses.Of(kind);
        var first = entry.Date.PlusDays(days.DaysMin);
        var last = entry.Date.PlusDays(days.DaysMax);
        var (opens, closes) = (DateSpread.On(first), DateSpread.On(last.PlusDays(OverdueDays)));
        var up = Up(year, entry);
        var overdue = up is null && year.Date > last;
        return new()
        {
            Kind = WindowKind.Germination,
            Season = entry.Date.Year,
            Ordinal = OrdinalOf(year, entry),
            Grass = kind,
            Name = Phrase.Of($"Watch the {grass.Name} come up"),
            Standing = up is not null
                ? WindowStanding.Done
                : Standing(year.Date, first, last, closes.Median!.Value),
            Opens = opens,
            Best = new(first, Spreads.Between(first, last)!.Median, last, 1, 0),
            Closes = closes,
            Steps = Steps(overdue, up),
            Why = [Why(year, entry, days, up, overdue)],
            Basis = year.Outlook.Basis,
        };
    }

    private static WindowStanding Standing(
        LocalDate today,
        LocalDate first,
        LocalDate last,
        LocalDate givenUp
    ) =>
        today < first ? WindowStanding.Ahead
        : today <= last ? WindowStanding.Open
        : today < givenUp ? WindowStanding.ClosingSoon
        : WindowStanding.Closed;

    // The first sowing of a year has no number, later ones count from 2.
    private static int OrdinalOf(LawnYear year, JournalEntry sown)
    {
        var before = year.Record.Entries.Count(e =>
            e.Kind == JournalKind.Seeded && e.Date.Year == sown.Date.Year && e.Date < sown.Date
        );
        return before == 0 ? 0 : before + 1;
    }

    private static ImmutableArray<Phrase> Steps(bool overdue, LocalDate? up) =>
        up is not null ? []
        : overdue
            ?
            [
                Phrase.Of(
                    $"Look closely in several places. If it is up, write it in the journal as germinated."
                ),
                Phrase.Of(
                    $"If nothing shows: was the top of the soil damp every day, was the seed old, did birds or a storm take it? Sow thin places again while the sowing window is open."
                ),
            ]
        :
        [
            Phrase.Of($"Keep the top of the soil damp; never let it dry out on a warm afternoon."),
            Phrase.Of(
                $"When most of it is up, write it in the journal as germinated: feeding and mowing count from that day."
            ),
        ];

    private static Finding Why(
        LawnYear year,
        JournalEntry entry,
        Germination days,
        LocalDate? up,
        bool overdue
    )
    {
        var since = Period.DaysBetween(entry.Date, up ?? year.Date);
        var soil = SoilSince(year, entry.Date);
        var text = (up, overdue) switch
        {
            ({ } date, _) => Phrase.Of(
                $"Sown {entry.Date}, up by {date}: {since} days, usual are {days.DaysMin} to {days.DaysMax}."
            ),
            (_, true) => Phrase.Of(
                $"Sown {since} days ago; it should have been up after {days.DaysMin} to {days.DaysMax}."
            ),
            _ => Phrase.Of(
                $"Sown {entry.Date}; it should show after {days.DaysMin} to {days.DaysMax} days."
            ),
        };
        return new(
            Id,
            overdue ? AdviceWeight.Cautions : AdviceWeight.Informs,
            text,
            double.IsNaN(soil)
                ? Phrase.Of($"{since} days since the sowing")
                : Phrase.Of(
                    $"{since} days since the sowing, soil at {Told.Depth(year)} {Quantity.TemperatureC(soil)} in the mean"
                ),
            Phrase.Of(
                $"{days.DaysMin} to {days.DaysMax} days, at best with {Quantity.TemperatureC(days.LowC)} to {Quantity.TemperatureC(days.HighC)} at the seed; colder soil takes longer"
            ),
            days.Source
        );
    }

    private static double SoilSince(LawnYear year, LocalDate date)
    {
        var known = year
            .Outlook.Past.Slice(date, year.Outlook.Today)
            .Soil10CmC.Where(t => !double.IsNaN(t))
            .ToArray();
        return known.Length == 0 ? double.NaN : known.Average();
    }
}
