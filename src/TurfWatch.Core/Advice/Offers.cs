using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>What a message lets its reader write down with one click: the work it advises, in the amounts it names.</summary>
internal static class Offers
{
    // The journal takes no height of cut above it.
    private const double MostCutCm = 15;

    /// <summary>
    /// The mowing of a day on which mowing is not advised against, at the height that holds; where it is advised, leaving
    /// it out too.
    /// </summary>
    public static ImmutableArray<DeedOffer> Of(Morning morning, MowingVerdict verdict)
    {
        if (verdict == MowingVerdict.NotToday)
        {
            return [];
        }

        // Grass that got away comes down in steps, and this is the first of them.
        var mowed = new DeedOffer(
            JournalKind.Mowed,
            morning.Date,
            GrowthNeedRule.FirstStepCm(morning) is { } first
                ? Math.Min(first, MostCutCm)
                : morning.Need.SetHeightCm
        );
        return verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom
            ? [mowed, new(JournalKind.MowingSkipped, morning.Date, null)]
            : [mowed];
    }

    /// <summary>The first watering of a plan.</summary>
    public static DeedOffer Of(WaterPlan plan, LocalDate date) =>
        new(JournalKind.Watered, date, plan.Waterings[0].DepthMm);

    /// <summary>The feeding or sowing of a window that is open; null when the window names no amount.</summary>
    public static DeedOffer? Of(Lawn lawn, SeasonWindow window, LocalDate date) =>
        (window.Standing, window.AdvisedGM2, window.Kind) switch
        {
            (not (WindowStanding.Open or WindowStanding.ClosingSoon), _, _) or (_, null, _) => null,
            (_, { } seed, WindowKind.Overseed or WindowKind.CoolSeasonSeeding) => new(
                JournalKind.Seeded,
                date,
                seed
            )
            {
                Grass = window.Grass,
            },
            (_, { } nitrogen, _) => new(JournalKind.Fed, date, nitrogen)
            {
                Grade = lawn.Fertilizer is { NitrogenPercent: > 0 } own ? own : null,
            },
        };
}
