using System.Collections.Concurrent;
using NodaTime;

namespace TurfWatch.Core.Tests.Agronomy.Windows;

/// <summary>
/// A made-up climate: the mean of each month, straight lines between the middles of the months, and spells of some days
/// around them. The soil at 10 cm follows the air with a lag of some days. The months of the named towns are NOAA's
/// normals 1991-2020 to about a degree: from memory, unverified.
/// </summary>
internal sealed record Town(double[] MonthsF, double HalfDayRangeK, double SpellK = 4)
{
    /// <summary>El Paso, far west Texas.</summary>
    public static Town ElPaso { get; } =
        new([46.5, 51.6, 58.9, 66.7, 75.6, 84, 84.4, 82.7, 76.5, 66.3, 54.4, 46.4], 7);

    /// <summary>Atlanta, Georgia.</summary>
    public static Town Atlanta { get; } =
        new([44.8, 48.5, 55.6, 63.2, 71.2, 78, 80.9, 80.2, 74.9, 64.7, 54.2, 47.3], 5.6);

    /// <summary>Dallas, Texas.</summary>
    public static Town Dallas { get; } =
        new([46.3, 50.7, 58.4, 65.7, 74, 82, 86, 86, 79, 68.5, 57, 48], 5.5);

    /// <summary>Phoenix, Arizona; the edge of the city, cooler at night than its airport.</summary>
    public static Town Phoenix { get; } =
        new([54, 57.5, 63.5, 71, 80, 88.5, 93, 91.5, 86, 74, 61.5, 53], 8);

    /// <summary>West Lafayette, Indiana.</summary>
    public static Town Lafayette { get; } =
        new([26, 30, 41, 52, 63, 72, 75, 73, 66, 54, 41, 31], 5.6, 4.5);

    /// <summary>Miami, Florida.</summary>
    public static Town Miami { get; } =
        new([69, 71, 73, 77, 80.5, 83, 84.5, 84.5, 83.5, 80.5, 75.5, 71.5], 4, 2);

    private const int SoilLagDays = 3;
    private static readonly LocalDate FirstDay = new(2024, 1, 1);
    private static readonly LocalDate LastDay = new(2029, 12, 31);
    private static readonly ConcurrentDictionary<(Town, int), SiteDays> Years = [];

    /// <summary>The day's air temperature of the town's usual year [°C].</summary>
    public double UsualC(LocalDate date)
    {
        var middle = new LocalDate(date.Year, date.Month, 15);
        var other = date < middle ? middle.PlusMonths(-1) : middle.PlusMonths(1);
        var share =
            (double)Math.Abs(Period.DaysBetween(middle, date))
            / Math.Abs(Period.DaysBetween(middle, other));
        var f = (MonthsF[middle.Month - 1] * (1 - share)) + (MonthsF[other.Month - 1] * share);
        return (f - 32) / 1.8;
    }

    /// <summary>The day's air of one year among others: its own spells, the same whenever asked for.</summary>
    public double AirC(LocalDate date, int strain)
    {
        // Sums of waves of about 7, 17 and 41 days with phases of the strain: spells, but no randomness.
        var day = Period.DaysBetween(new LocalDate(2000, 1, 1), date);
        var phase = strain * 2.399963;
        return UsualC(date)
            + (
                SpellK
                * (
                    (0.9 * Math.Sin((2 * Math.PI * day / 6.9) + (3 * phase)))
                    + (0.8 * Math.Sin((2 * Math.PI * day / 17.3) + (5 * phase)))
                    + (0.7 * Math.Sin((2 * Math.PI * day / 41.7) + (7 * phase)))
                )
            );
    }

    /// <summary>Days of one strain; the soil at 10 cm is the air of the last week, three days late in the middle.</summary>
    public SiteDays Days(LocalDate first, int count, int strain) =>
        Years.GetOrAdd((this, strain), Make).Slice(first, first.PlusDays(count));

    private static SiteDays Make((Town Town, int Strain) key)
    {
        const int week = (2 * SoilLagDays) + 1;
        var count = Period.DaysBetween(FirstDay, LastDay);
        var air = new double[week + count];
        for (var i = 0; i < air.Length; i++)
        {
            air[i] = key.Town.AirC(FirstDay.PlusDays(i - week), key.Strain);
        }

        return MadeOutlook.Days(
            FirstDay,
            count,
            d => air[week + Period.DaysBetween(FirstDay, d)],
            d => air.AsSpan(Period.DaysBetween(FirstDay, d) + 1, week).ToArray().Average(),
            halfDayRangeK: key.Town.HalfDayRangeK
        );
    }

    /// <summary>The outlook of a day: this year is strain 0, the courses are strains 1 to 20.</summary>
    public SeasonOutlook Outlook(LocalDate today, int pastDays = 400) =>
        new()
        {
            Today = today,
            Basis = pastDays > 0 ? OutlookBasis.ThisYear : OutlookBasis.ClimateAlone,
            ForecastDays = 0,
            Past = Days(today.PlusDays(-pastDays), pastDays, 0),
            Traces =
            [
                .. Enumerable
                    .Range(1, 20)
                    .Select(k => new OutlookTrace(today.Year - k, Days(today, 400, k))),
            ],
            UsualSoil10CmC =
            [
                .. Enumerable
                    .Range(0, PlaceClimate.Days)
                    .Select(i => UsualC(new LocalDate(2000, 1, 1).PlusDays(i - SoilLagDays))),
            ],
            SoilErrorC = 1.5,
        };

    /// <summary>Twenty past years of the town.</summary>
    public PlaceClimate Climate() =>
        PlaceClimateBuilder.Build([
            .. MadeClimate.Days(
                2006,
                2025,
                d => AirC(d, 1 + ((d.PlusDays(-181).Year - 2005) % 20)),
                d => AirC(d, 1 + ((d.PlusDays(-181).Year - 2005) % 20)) - HalfDayRangeK
            ),
        ])!;
}
