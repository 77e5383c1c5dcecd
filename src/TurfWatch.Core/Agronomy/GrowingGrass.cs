using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>
/// Of the one or two grasses on a lawn, the one that grows now and so decides height and advice.
/// </summary>
/// <param name="Grass">The grass that the advice speaks of.</param>
/// <param name="IsOverseed">It is the winter overseed, not the base.</param>
/// <param name="Canopy">Green or at rest.</param>
/// <param name="Heights">The mowing heights that hold for it on this lawn and date.</param>
public sealed record GrowingGrass(
    Grass Grass,
    bool IsOverseed,
    CanopyState Canopy,
    MowingHeights Heights
)
{
    private static readonly AnnualDate OverseedFrom = new(9, 15);
    private static readonly AnnualDate OverseedUntil = new(6, 15);
    private static readonly AnnualDate SownByThen = new(11, 14);

    // A journal without an entry for this long is not being kept.
    private const int JournalDays = 60;

    private static readonly AnnualDate SpringFrom = new(12, 21);
    private static readonly AnnualDate SpringUntil = new(6, 21);

    /// <summary>Finds it.</summary>
    /// <remarks>
    /// Overseed: between mid-September and mid-June it counts as there, and it leads while the
    /// temperature suits it better than the base (Gelernter &amp; Stowell 2005: the crossing of the two
    /// growth potentials). Rest: from midsummer on, soil at 10 cm below the dormancy figure; from the
    /// winter solstice on, not above the green-up figure. Without a soil temperature the calendar
    /// decides: warm-season turf at 30–37° N rests from 21 November to 20 March, further north a month
    /// longer on either side, further south never; an overseed leads from 15 October to 1 May
    /// (judgement, no source). Where the owner keeps a journal, an overseed counts as there only once its sowing is
    /// told, until mid-November: by then it is more likely sown and not told than not sown (judgement).
    /// </remarks>
    /// <param name="lawn">The lawn.</param>
    /// <param name="date">The local date.</param>
    /// <param name="soilTemperature10CmMeanC">Mean soil temperature of the last days at 10 cm [°C]; null or NaN when unknown.</param>
    /// <param name="record">The owner's journal; null when it does not matter.</param>
    public static GrowingGrass On(
        Lawn lawn,
        LocalDate date,
        double? soilTemperature10CmMeanC,
        LawnRecord? record = null
    )
    {
        var soilC = soilTemperature10CmMeanC is { } t && !double.IsNaN(t) ? (double?)t : null;
        var grassBase = Grasses.Of(lawn.Grass);
        if (
            lawn.Overseed is { } kind
            && MayBeUp(kind, date, record)
            && OverseedLeads(grassBase, Grasses.Of(kind), date, soilC)
        )
        {
            var overseed = Grasses.Of(kind);
            return new(
                overseed,
                IsOverseed: true,
                CanopyState.Active,
                overseed.WinterOverseedHeights ?? overseed.Heights
            );
        }

        var canopy = Rests(grassBase, lawn.Place.LatitudeDeg, date, soilC)
            ? CanopyState.Dormant
            : CanopyState.Active;
        return new(grassBase, IsOverseed: false, canopy, grassBase.Heights);
    }

    private static bool MayBeUp(GrassKind overseed, LocalDate date, LawnRecord? record)
    {
        if (record is null || !Within(date, OverseedFrom, SownByThen))
        {
            return true;
        }

        var keepsJournal = record.Entries.Any(e =>
            e.Date > date.PlusDays(-JournalDays) && e.Date <= date
        );
        return !keepsJournal
            || record.Entries.Any(e =>
                e.Kind == JournalKind.Seeded
                && e.Date >= new LocalDate(date.Year, 8, 1)
                && e.Date <= date
                && (e.Grass ?? overseed) == overseed
            );
    }

    private static bool OverseedLeads(
        Grass grassBase,
        Grass overseed,
        LocalDate date,
        double? soilC
    ) =>
        soilC is { } t
            ? Within(date, OverseedFrom, OverseedUntil)
                && GrowthPotential.Of(overseed, t) >= GrowthPotential.Of(grassBase, t)
            : Within(date, new AnnualDate(10, 15), new AnnualDate(5, 1));

    private static bool Rests(Grass grass, double latitudeDeg, LocalDate date, double? soilC)
    {
        if (soilC is { } t)
        {
            return Within(date, SpringFrom, SpringUntil)
                ? t < grass.GreenUpSoilC.Value
                : t < grass.DormancySoilC.Value;
        }

        return grass.Season == GrassSeason.Warm
            && latitudeDeg switch
            {
                >= 37 => Within(date, new AnnualDate(10, 21), new AnnualDate(4, 20)),
                >= 30 => Within(date, new AnnualDate(11, 21), new AnnualDate(3, 20)),
                _ => false,
            };
    }

    private static bool Within(LocalDate date, AnnualDate from, AnnualDate until)
    {
        var day = new AnnualDate(date.Month, date.Day);
        return from <= until ? day >= from && day <= until : day >= from || day <= until;
    }
}
