using NodaTime;

namespace TurfWatch.Core;

/// <summary>When freezes begin or end at a place: the span into which eight of ten cold seasons fall.</summary>
/// <param name="Early">One season in ten is earlier; null when at least nine in ten have no freeze.</param>
/// <param name="Late">One in ten is later, or has no freeze; null when that cannot be said: too many seasons have none.</param>
/// <param name="Seasons">Seasons looked at.</param>
/// <param name="WithoutFreeze">Seasons without a freeze.</param>
/// <remarks>
/// Days are counted from 1 July and put in order; a quantile p lies at place (n - 1) p, between neighbours
/// linearly (Hyndman and Fan 1996, definition 7), rounded to a day. A season without a freeze stands after all others
/// for the first freeze and before all others for the last.
/// </remarks>
public sealed record UsualFreeze(
    UsualFreeze.MonthDay? Early,
    UsualFreeze.MonthDay? Late,
    int Seasons,
    int WithoutFreeze
)
{
    /// <summary>Half of the seasons are earlier; null when half or more have no freeze.</summary>
    public MonthDay? Median { get; init; }

    /// <summary>A day of the cold season.</summary>
    /// <param name="Days">Days after 1 July.</param>
    public readonly record struct MonthDay(int Days)
    {
        /// <summary>The date in the cold season that begins in <paramref name="startYear"/>.</summary>
        public LocalDate In(int startYear) =>
            PlaceClimateBuilder.SeasonStart(startYear).PlusDays(Days);
    }

    /// <summary>The first freeze of the cold season.</summary>
    public static UsualFreeze First(PlaceClimate climate) =>
        Of(climate, s => s.FirstFreeze, none: double.PositiveInfinity);

    /// <summary>The last freeze of the cold season.</summary>
    public static UsualFreeze Last(PlaceClimate climate) =>
        Of(climate, s => s.LastFreeze, none: double.NegativeInfinity);

    private static UsualFreeze Of(
        PlaceClimate climate,
        Func<ColdSeason, LocalDate?> date,
        double none
    )
    {
        var days = climate
            .ColdSeasons.Select(s =>
                date(s) is { } d
                    ? Period.DaysBetween(PlaceClimateBuilder.SeasonStart(s.StartYear), d)
                    : none
            )
            .Order()
            .ToArray();
        return new(At(days, 0.1), At(days, 0.9), days.Length, days.Count(d => !double.IsFinite(d)))
        {
            Median = At(days, 0.5),
        };
    }

    private static MonthDay? At(double[] ordered, double share)
    {
        var day = Quantile.At(ordered, share);
        return double.IsFinite(day) ? new((int)Math.Round(day)) : null;
    }
}
