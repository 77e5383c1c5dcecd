using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>Whether the grass needs mowing by the one-third rule, as far as the journal tells.</summary>
/// <param name="SetHeightCm">Height of cut that holds now [cm].</param>
/// <param name="DueHeightCm">Height at which mowing falls due [cm].</param>
/// <param name="LastMowed">Date of the last mowing; null when the journal knows none.</param>
/// <param name="HeightCm">Height now [cm]; NaN when it cannot be told.</param>
/// <param name="HeightErrorCm">How far off that may be, either way [cm].</param>
/// <param name="DueEarliest">Earliest likely date on which it falls due; null when unknown or beyond <see cref="LookAheadDays"/>.</param>
/// <param name="DueLatest">Latest likely date; null when unknown or beyond <see cref="LookAheadDays"/>.</param>
/// <param name="RateCmPerDay">Growth a day over the next days [cm]; NaN when unknown.</param>
public sealed record MowingNeed(
    double SetHeightCm,
    double DueHeightCm,
    LocalDate? LastMowed,
    double HeightCm,
    double HeightErrorCm,
    LocalDate? DueEarliest,
    LocalDate? DueLatest,
    double RateCmPerDay
)
{
    /// <summary>Dates further off than this are not named.</summary>
    public const int LookAheadDays = 21;

    /// <summary>Likely error of the growth model before an owner's record has corrected it; judgement, no source.</summary>
    public const double GrowthError = 0.35;

    /// <summary>How far a mower's height of cut is off [cm]; judgement, no source.</summary>
    public const double MowerErrorCm = 0.5;

    /// <summary>
    /// Reckons height and due dates. The day of the last mowing counts from its local noon; growth beyond
    /// the forecast goes on at its mean rate.
    /// </summary>
    /// <param name="lawn">The lawn.</param>
    /// <param name="growing">The grass that grows now.</param>
    /// <param name="record">The owner's journal.</param>
    /// <param name="site">Site conditions, past and forecast.</param>
    /// <param name="now">The present.</param>
    /// <param name="date">The local date of the advice.</param>
    public static MowingNeed Of(
        Lawn lawn,
        GrowingGrass growing,
        LawnRecord record,
        SiteConditions site,
        Instant now,
        LocalDate date
    )
    {
        var setHeight = HeightOfCutCm(lawn, growing);
        var due = OneThirdRule.DueHeightCm(setHeight);
        var ahead = LeafGrowth.Between(
            site,
            growing.Grass,
            lawn.Shade,
            now,
            now + Duration.FromDays(3)
        );
        var rate = ahead.Cm / 3;
        if (record.Last(JournalKind.Mowed, date) is not { } mowed)
        {
            return new(setHeight, due, null, double.NaN, double.NaN, null, null, rate);
        }

        var cutAt = mowed.Date.At(LocalTime.Noon).InZoneLeniently(lawn.Place.Zone).ToInstant();
        var cutHeight = mowed.Amount is > 0.5 and < 30 ? mowed.Amount.Value : setHeight;
        var grown = LeafGrowth.Between(
            site,
            growing.Grass,
            lawn.Shade,
            Instant.Min(cutAt, now),
            now
        );
        var error = MowerErrorCm + (GrowthError * (2 - grown.KnownShare) * grown.Cm);
        return new(
            setHeight,
            due,
            mowed.Date,
            cutHeight + grown.Cm,
            error,
            DueDate(1 + GrowthError),
            DueDate(1 - GrowthError),
            rate
        );

        LocalDate? DueDate(double factor)
        {
            var need = (due - cutHeight) / factor;
            for (var days = 0; days <= LookAheadDays; days++)
            {
                var noon = date.PlusDays(days)
                    .At(LocalTime.Noon)
                    .InZoneLeniently(lawn.Place.Zone)
                    .ToInstant();
                var more = LeafGrowth.Between(site, growing.Grass, lawn.Shade, now, noon);
                var total = grown.Cm + (double.IsNaN(more.Cm) ? rate * days : more.Cm);
                if (total >= need)
                {
                    return date.PlusDays(days);
                }
            }

            return null;
        }
    }

    /// <summary>
    /// The owner's height where it suits the grass that grows now; else that grass's usual one: a height
    /// set for summer bermudagrass is not the height of its winter rye.
    /// </summary>
    public static double HeightOfCutCm(Lawn lawn, GrowingGrass growing) =>
        lawn.MowingHeightCm is { } own
        && (!growing.IsOverseed || own >= growing.Heights.MinCm - 0.01)
            ? own
            : growing.Heights.UsualCm;
}
