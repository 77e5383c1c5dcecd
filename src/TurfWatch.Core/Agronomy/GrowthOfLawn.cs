using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>Growth of one lawn with what its record says: nitrogen given, and the correction of the rate.</summary>
public static class GrowthOfLawn
{
    private const int SoilDays = 5;

    /// <summary>The factor of the nitrogen given at an instant, by the lawn's local date; null when the journal knows no feeding.</summary>
    public static Func<Instant, double>? Nitrogen(Lawn lawn, LawnRecord record)
    {
        if (!record.Entries.Any(e => e.Kind == JournalKind.Fed))
        {
            return null;
        }

        var zone = lawn.Place.Zone;
        var known = new Dictionary<LocalDate, double>();
        return instant =>
        {
            var date = instant.InZone(zone).Date;
            if (!known.TryGetValue(date, out var factor))
            {
                known[date] = factor = NitrogenResponse.Factor(record, date);
            }

            return factor;
        };
    }

    /// <summary>What the record says of the growth, from the hours of <paramref name="site"/> (the last weeks).</summary>
    public static GrowthCorrection Correction(
        Lawn lawn,
        GrowingGrass growing,
        LawnRecord record,
        SiteConditions site,
        LocalDate date
    )
    {
        // Most journals ask nothing of it.
        GrowthCurve? curve = null;
        return Correction(
            lawn,
            growing,
            record,
            date,
            (from, to) =>
                (curve ??= new(site, growing.Grass, lawn.Shade, Nitrogen(lawn, record))).Between(
                    Noon(from),
                    Noon(to)
                ),
            day => MeanSoilC(site, Noon(day))
        );

        Instant Noon(LocalDate day) =>
            day.At(LocalTime.Noon).InZoneLeniently(lawn.Place.Zone).ToInstant();
    }

    /// <summary>What the record says of the growth, from the days of <paramref name="days"/> (up to a year).</summary>
    public static GrowthCorrection Correction(
        Lawn lawn,
        GrowingGrass growing,
        LawnRecord record,
        SiteDays days,
        LocalDate date
    ) =>
        Correction(
            lawn,
            growing,
            record,
            date,
            (from, to) =>
                LeafGrowth.Between(
                    days,
                    growing.Grass,
                    lawn.Shade,
                    from,
                    to,
                    day => NitrogenResponse.Factor(record, day)
                ),
            day => MeanSoilC(days, day)
        );

    /// <summary>Mean soil temperature at 10 cm of the five days that end with a day [°C]; NaN when none is known.</summary>
    public static double MeanSoilC(SiteDays days, LocalDate day)
    {
        var last = days.IndexOf(day);
        return Mean(
            Enumerable
                .Range(last - SoilDays + 1, SoilDays)
                .Where(i => i >= 0 && i < days.Count)
                .Select(i => days.Soil10CmC[i])
        );
    }

    private static double MeanSoilC(SiteConditions site, Instant end)
    {
        var last = site.IndexOf(end);
        return Mean(
            Enumerable
                .Range(last - (24 * SoilDays) + 1, 24 * SoilDays)
                .Where(i => i >= 0 && i < site.Count)
                .Select(i => site.SoilTemperature10CmC[i])
        );
    }

    private static double Mean(IEnumerable<double> values)
    {
        var known = values.Where(v => !double.IsNaN(v)).ToList();
        return known.Count == 0 ? double.NaN : known.Average();
    }

    // A stretch speaks of the grass that led on both of its ends.
    private static GrowthCorrection Correction(
        Lawn lawn,
        GrowingGrass growing,
        LawnRecord record,
        LocalDate date,
        Func<LocalDate, LocalDate, Grown> grown,
        Func<LocalDate, double> soilC
    )
    {
        return GrowthCorrection.Of(
            GrowthRecord.Read(
                record,
                date,
                MowingNeed.HeightOfCutCm(lawn, growing),
                (from, to) => Led(from) && Led(to) ? grown(from, to) : new(0, 0)
            )
        );

        bool Led(LocalDate day) =>
            GrowingGrass.On(lawn, day, soilC(day), record) is { Canopy: CanopyState.Active } then
            && then.Grass.Kind == growing.Grass.Kind
            && then.IsOverseed == growing.IsOverseed;
    }
}
