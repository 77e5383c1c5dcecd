using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>How much faster or slower the leaves grow for the nitrogen that the journal says was given.</summary>
public static class NitrogenResponse
{
    /// <summary>Factor on growth when all that was given is used up; judgement, no source.</summary>
    public const double Least = 0.8;

    /// <summary>Factor with a full feeding just given; judgement, no source.</summary>
    public const double Most = 1.2;

    /// <summary>A full feeding: 1 lb per 1,000 sq ft [g/m²].</summary>
    public const double FullGM2 = 4.88;

    /// <summary>Time in which what is left of a feeding falls to 1/e [days]: common practice feeds a growing lawn every four to six weeks; judgement.</summary>
    public const double FadeDays = 30;

    private const int LookBackDays = 365;
    private const int UnknownDays = 60;

    /// <summary>
    /// f_N = 0.8 + 0.4 min(1, Σ N_i exp(−t_i/30 d)/4.88 g/m²). It is 1, no word either way, when the journal knows no
    /// feeding within a year, or one of the last two months without its amount.
    /// </summary>
    /// <remarks>No published response of leaf height on home lawns was found; the shape and the figures are judgement.</remarks>
    /// <param name="record">The owner's journal.</param>
    /// <param name="date">The day.</param>
    /// <returns>0.8 to 1.2.</returns>
    public static double Factor(LawnRecord record, LocalDate date)
    {
        double left = 0;
        var known = false;
        foreach (var entry in record.Entries)
        {
            var days = Period.DaysBetween(entry.Date, date);
            if (entry.Kind != JournalKind.Fed || days is < 0 or > LookBackDays)
            {
                continue;
            }

            if (entry.Amount is not (>= 0 and < 100))
            {
                if (days <= UnknownDays)
                {
                    return 1;
                }

                continue;
            }

            known = true;
            left += entry.Amount.Value * Math.Exp(-days / FadeDays);
        }

        return known ? Least + ((Most - Least) * Math.Min(1, left / FullGM2)) : 1;
    }
}
