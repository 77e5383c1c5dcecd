using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>Whether the grass needs mowing by the one-third rule, as far as the journal tells.</summary>
/// <param name="SetHeightCm">Height of cut that holds now [cm].</param>
/// <param name="DueHeightCm">Height at which mowing falls due [cm].</param>
/// <param name="LastMowed">Date of the last mowing; null when the journal knows none.</param>
/// <param name="HeightCm">Height now [cm]; NaN when it cannot be told.</param>
/// <param name="HeightErrorCm">How far off that may be, either way [cm].</param>
/// <param name="DueEarliest">Earliest likely date on which it falls due; null when unknown or beyond <see cref="LookAheadDays"/>.</param>
/// <param name="Due">The date on which it falls due at the rate reckoned; null when unknown or beyond <see cref="LookAheadDays"/>.</param>
/// <param name="DueLatest">Latest likely date; null when unknown or beyond <see cref="LookAheadDays"/>.</param>
/// <param name="RateCmPerDay">Growth a day over the next days [cm]; NaN when unknown.</param>
public sealed record MowingNeed(
    double SetHeightCm,
    double DueHeightCm,
    LocalDate? LastMowed,
    double HeightCm,
    double HeightErrorCm,
    LocalDate? DueEarliest,
    LocalDate? Due,
    LocalDate? DueLatest,
    double RateCmPerDay
)
{
    /// <summary>Dates further off than this are not named.</summary>
    public const int LookAheadDays = 21;

    /// <summary>Days after sowing on which seed of a grass without figures is taken to be up; judgement.</summary>
    private const int UnknownUpAfterDays = 10;

    // Seedlings' growth in height is known worse than that of a lawn; judgement.
    private const double SeedlingError = 0.5;
    private const int FirstCutDays = 120;

    /// <summary>How far a mower's height of cut is off [cm]; judgement, no source.</summary>
    public const double MowerErrorCm = 0.5;

    /// <summary>How the owner's record corrects the growth rate.</summary>
    public GrowthCorrection Growth { get; init; } = GrowthCorrection.None;

    /// <summary>The cut to come is the first of newly sown grass: due a third above the height of cut.</summary>
    public bool FirstCut { get; init; }

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
    /// <param name="setHeightCm">Height of cut [cm]; null means <see cref="HeightOfCutCm"/>.</param>
    /// <param name="correction">What the record says of the growth; null means none.</param>
    /// <param name="lastCutCm">Height of the last cut where the journal does not tell it [cm]; null means the height of cut.</param>
    public static MowingNeed Of(
        Lawn lawn,
        GrowingGrass growing,
        LawnRecord record,
        SiteConditions site,
        Instant now,
        LocalDate date,
        double? setHeightCm = null,
        GrowthCorrection? correction = null,
        double? lastCutCm = null
    )
    {
        var growth = correction ?? GrowthCorrection.None;
        var curve = new GrowthCurve(
            site,
            growing.Grass,
            lawn.Shade,
            GrowthOfLawn.Nitrogen(lawn, record)
        );
        var setHeight = setHeightCm ?? HeightOfCutCm(lawn, growing);
        var ahead = curve.Between(now, now + Duration.FromDays(3));
        var rate = growth.Factor * ahead.Cm / 3;
        var mowed = record.Last(JournalKind.Mowed, date);
        var up = FirstUp(growing, record, mowed, date);
        var due = up is null
            ? OneThirdRule.DueHeightCm(setHeight)
            : OneThirdRule.FirstCutDueCm(setHeight);
        if ((up ?? mowed?.Date) is not { } start)
        {
            return new(setHeight, due, null, double.NaN, double.NaN, null, null, null, rate)
            {
                Growth = growth,
            };
        }

        var cutAt = Noon(start);
        var cutHeight = up is null ? GrowthRecord.CutCm(mowed!, lastCutCm ?? setHeight) : 0;
        var grown = curve.Between(Instant.Min(cutAt, now), now);
        var doubt = up is null ? growth.Error : Math.Max(growth.Error, SeedlingError);
        var error =
            (up is null ? MowerErrorCm : 0)
            + (doubt * (2 - grown.KnownShare) * growth.Factor * grown.Cm);
        return new(
            setHeight,
            due,
            up is null ? start : null,
            cutHeight + (growth.Factor * grown.Cm),
            error,
            DueDate(growth.Factor * (1 + doubt)),
            DueDate(growth.Factor),
            DueDate(growth.Factor * (1 - doubt)),
            rate
        )
        {
            Growth = growth,
            FirstCut = up is not null,
        };

        Instant Noon(LocalDate day) =>
            day.At(LocalTime.Noon).InZoneLeniently(lawn.Place.Zone).ToInstant();

        LocalDate? DueDate(double factor)
        {
            var need = (due - cutHeight) / factor;
            var from = Instant.Max(now, cutAt);
            for (var days = 0; days <= LookAheadDays; days++)
            {
                var noon = Noon(date.PlusDays(days));
                var more = curve.Between(from, noon);
                var total =
                    grown.Cm
                    + (
                        double.IsNaN(more.Cm)
                            ? ahead.Cm / 3 * Math.Max(0, (noon - from).TotalDays)
                            : more.Cm
                    );
                if (total >= need)
                {
                    return date.PlusDays(days);
                }
            }

            return null;
        }
    }

    /// <summary>Days after sowing on which the seed of a grass is taken to be up when the journal does not say: the middle of its range.</summary>
    public static int UpAfterDays(Grass grass) =>
        grass.Germination is { } days ? (days.DaysMin + days.DaysMax) / 2 : UnknownUpAfterDays;

    // The day on which the seed of an overseed that has not been cut since came up, or should.
    private static LocalDate? FirstUp(
        GrowingGrass growing,
        LawnRecord record,
        JournalEntry? mowed,
        LocalDate date
    )
    {
        if (
            !growing.IsOverseed
            || record.Last(JournalKind.Seeded, date) is not { } seeded
            || (seeded.Grass is { } sown && sown != growing.Grass.Kind)
            || Period.DaysBetween(seeded.Date, date) > FirstCutDays
        )
        {
            return null;
        }

        var up =
            record.Last(JournalKind.Germinated, date) is { } came && came.Date >= seeded.Date
                ? came.Date
                : seeded.Date.PlusDays(UpAfterDays(growing.Grass));
        return mowed is null || mowed.Date <= up ? up : null;
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
