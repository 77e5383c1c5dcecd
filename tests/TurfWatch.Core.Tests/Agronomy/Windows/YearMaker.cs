using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>A lawn's year in a made-up town, for tests of windows.</summary>
internal sealed class YearMaker(Town town, LocalDate date)
{
    public Lawn Lawn { get; set; } =
        new()
        {
            Id = 7,
            Place = new("79912", "El Paso", "TX", 31.84, -106.53, "America/Denver"),
            Grass = GrassKind.Bermuda,
        };

    public LawnRecord Record { get; private set; } = LawnRecord.Empty;
    public SeasonOutlook Outlook { get; set; } = town.Outlook(date);
    public PlaceClimate? Climate { get; set; } = Climates.GetOrAdd(town, t => t.Climate());
    public LocalDate Date => date;

    private static readonly System.Collections.Concurrent.ConcurrentDictionary<
        Town,
        PlaceClimate
    > Climates = [];

    /// <summary>A bermudagrass lawn with perennial rye in winter.</summary>
    public static YearMaker Rye(Town town, LocalDate date)
    {
        var maker = new YearMaker(town, date);
        maker.Lawn = maker.Lawn with { Overseed = GrassKind.PerennialRyegrass };
        return maker;
    }

    /// <summary>A lawn of one grass.</summary>
    public static YearMaker Of(Town town, LocalDate date, GrassKind grass)
    {
        var maker = new YearMaker(town, date);
        maker.Lawn = maker.Lawn with { Grass = grass };
        return maker;
    }

    public YearMaker Noted(
        JournalKind kind,
        LocalDate on,
        double? amount = null,
        GrassKind? grass = null
    )
    {
        Record = new([
            .. Record
                .Entries.Append(new JournalEntry(0, kind, on, amount) { Grass = grass })
                .OrderBy(e => e.Date),
        ]);
        return this;
    }

    public LawnYear Build()
    {
        var morning = new MorningMaker(date);
        var site = morning.Site();
        return new()
        {
            Lawn = Lawn,
            Record = Record,
            Outlook = Outlook,
            Site = site,
            Weather = new(site.Weather, [], morning.Notes) { Climate = Climate },
            Now = morning.Now,
            Date = date,
        };
    }

    public ImmutableArray<SeasonWindow> Windows() => SeasonCalendar.Of(Build());

    public SeasonWindow Window(WindowKind kind, int ordinal = 0) =>
        Windows().Single(w => w.Kind == kind && w.Ordinal == ordinal);

    /// <summary>The window's standing on each day of a span, walking through one year as it unfolds.</summary>
    public static IEnumerable<(LocalDate Date, WindowStanding Standing)> Walk(
        LocalDate from,
        LocalDate until,
        Func<LocalDate, YearMaker> make,
        WindowKind kind
    )
    {
        for (var day = from; day <= until; day = day.PlusDays(1))
        {
            yield return (day, make(day).Window(kind).Standing);
        }
    }
}
