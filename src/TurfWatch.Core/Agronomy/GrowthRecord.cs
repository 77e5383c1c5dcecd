using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>Reads what the mowings of a journal say of the growth.</summary>
public static class GrowthRecord
{
    private const int ShortestDays = 2;
    private const int LongestDays = 45;
    private const double LeastGrowthCm = 0.4;
    private const double LeastKnownShare = 0.75;

    /// <summary>
    /// One observation for each stretch from a mowing to the next, 2 to 45 days apart, whose weather is known for
    /// three quarters and whose end has a measured height before the cut: that, less the height of the first cut.
    /// </summary>
    /// <remarks>
    /// Dates alone say nothing that counts: who mows when told echoes the model, who mows on Saturdays his week.
    /// </remarks>
    /// <param name="record">The journal.</param>
    /// <param name="date">Nothing later counts.</param>
    /// <param name="setHeightCm">Height of cut where the journal does not tell it [cm].</param>
    /// <param name="grownBetween">Growth that the model reckons between two dates, for the grass in question; 0 where another grass led.</param>
    public static ImmutableArray<GrowthObservation> Read(
        LawnRecord record,
        LocalDate date,
        double setHeightCm,
        Func<LocalDate, LocalDate, Grown> grownBetween
    )
    {
        var mowings = record
            .Entries.Where(e => e.Kind == JournalKind.Mowed && e.Date <= date)
            .ToImmutableArray();
        var found = ImmutableArray.CreateBuilder<GrowthObservation>();
        for (var i = 1; i < mowings.Length; i++)
        {
            var (first, second) = (mowings[i - 1], mowings[i]);
            var days = Period.DaysBetween(first.Date, second.Date);
            if (
                days is < ShortestDays or > LongestDays
                || second.HeightBeforeCm is not (> 0.5 and < 100)
            )
            {
                continue;
            }

            var grown = grownBetween(first.Date, second.Date);
            if (!(grown.Cm >= LeastGrowthCm && grown.KnownShare >= LeastKnownShare))
            {
                continue;
            }

            found.Add(new(grown.Cm, second.HeightBeforeCm.Value - CutCm(first, setHeightCm)));
        }

        return found.ToImmutable();
    }

    /// <summary>Height to which a mowing cut [cm].</summary>
    public static double CutCm(JournalEntry mowing, double setHeightCm) =>
        mowing.Amount is >= 0.5 and <= 15 ? mowing.Amount.Value : setHeightCm;
}
