using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>What the journal says that one grass of a lawn was given this season.</summary>
/// <param name="Grass">The grass.</param>
/// <param name="From">First day of the season: 1 January for a base grass, 1 August for a winter overseed.</param>
/// <param name="Need">What it is usually given; its ceiling is not above what law allows.</param>
/// <param name="Feedings">Feedings on record.</param>
/// <param name="Untold">Of those, feedings without an amount: the sums are then the least it can be.</param>
/// <param name="NitrogenGM2">Nitrogen [g/m²].</param>
/// <param name="PhosphateGM2">Phosphate, P2O5 [g/m²].</param>
/// <param name="PotashGM2">Potash, K2O [g/m²].</param>
/// <param name="Last">The last feeding, in this season or before; null when none is on record.</param>
public sealed record NitrogenGiven(
    GrassKind Grass,
    LocalDate From,
    NitrogenNeed Need,
    int Feedings,
    int Untold,
    double NitrogenGM2,
    double PhosphateGM2,
    double PotashGM2,
    LocalDate? Last
)
{
    /// <summary>Days of soil that tell which of two grasses a feeding went to.</summary>
    private const int SoilDays = 5;

    /// <summary>The season of an overseed begins with this month.</summary>
    private const int OverseedMonth = 8;

    /// <summary>Nitrogen left up to the season's ceiling [g/m²], 0 or more.</summary>
    public double RoomGM2 => Math.Max(0, Need.SeasonMaxGM2 - NitrogenGM2);

    /// <summary>Nothing more fits: not even the least feeding.</summary>
    public bool Full => RoomGM2 < Need.FeedingMinGM2 * (1 - 1e-9);

    /// <summary>
    /// One for the base and, where there is one, one for the overseed. A feeding whose grass is not told is that of the
    /// overseed in fall when it led (<see cref="GrowingGrass"/>) and in spring while the base was at rest, else of the base.
    /// </summary>
    /// <param name="lawn">The lawn.</param>
    /// <param name="record">Its journal.</param>
    /// <param name="date">The day.</param>
    /// <param name="past">Days of soil; null or holes leave it to the calendar.</param>
    public static ImmutableArray<NitrogenGiven> Of(
        Lawn lawn,
        LawnRecord record,
        LocalDate date,
        SiteDays? past = null
    )
    {
        var fed = record
            .Entries.Where(e => e.Kind == JournalKind.Fed && e.Date <= date)
            .Select(e => (Entry: e, Grass: e.Grass ?? Led(lawn, e.Date, past)))
            .ToList();
        GrassKind[] grasses =
            lawn.Overseed is { } over && over != lawn.Grass ? [lawn.Grass, over] : [lawn.Grass];
        return
        [
            .. grasses.Select(g =>
            {
                var from = SeasonStart(lawn, g, date);
                var own = fed.Where(f => f.Grass == g).Select(f => f.Entry).ToList();
                var season = own.Where(e => e.Date >= from).ToList();
                return new NitrogenGiven(
                    g,
                    from,
                    WithinLaw(lawn, FeedAmount.Need(lawn, g)),
                    season.Count,
                    season.Count(e => e.Amount is null),
                    season.Sum(e => e.Amount ?? 0),
                    season.Sum(e => e.PhosphateGM2 ?? 0),
                    season.Sum(e => e.PotashGM2 ?? 0),
                    own.Count > 0 ? own[^1].Date : null
                );
            }),
        ];
    }

    /// <summary>Mean soil temperature at 10 cm of the days before a date [°C]; null when too few are known.</summary>
    public static double? SoilBefore(SiteDays? past, LocalDate date)
    {
        if (past is null)
        {
            return null;
        }

        var mean = FirstDay.SoilMeanC(past, past.IndexOf(date) - 1, SoilDays);
        return double.IsNaN(mean) ? null : mean;
    }

    // In fall the one that leads; from January on the overseed only while the base is at rest: what an owner spreads
    // once the base is green is meant for it, though rye may still outgrow it.
    private static GrassKind Led(Lawn lawn, LocalDate date, SiteDays? past)
    {
        var soilC = SoilBefore(past, date);
        return
            GrowingGrass.On(lawn, date, soilC) is { IsOverseed: true } over
            && (
                date.Month >= OverseedMonth
                || GrowingGrass.On(lawn with { Overseed = null }, date, soilC).Canopy
                    == CanopyState.Dormant
            )
            ? over.Grass.Kind
            : lawn.Grass;
    }

    private static LocalDate SeasonStart(Lawn lawn, GrassKind grass, LocalDate date)
    {
        if (grass == lawn.Grass)
        {
            return new(date.Year, 1, 1);
        }

        var august = new LocalDate(date.Year, OverseedMonth, 1);
        return august <= date ? august : august.PlusYears(-1);
    }

    private static NitrogenNeed WithinLaw(Lawn lawn, NitrogenNeed need) =>
        need with
        {
            SeasonMaxGM2 = Math.Min(
                need.SeasonMaxGM2,
                FertilizerLaw.For(lawn.Place.State).SeasonCapGM2
            ),
        };
}
