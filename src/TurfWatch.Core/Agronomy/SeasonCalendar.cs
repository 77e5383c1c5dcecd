using System.Collections.Immutable;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Agronomy;

/// <summary>All windows and events of a lawn's year: of its base grass and of its winter overseed.</summary>
public static class SeasonCalendar
{
    private static readonly Func<LawnYear, IEnumerable<SeasonWindow?>>[] Rules =
    [
        One(Overseed.Judge),
        One(CoolSeasonSeeding.Judge),
        One(GerminationWatch.Judge),
        One(RyeFeeding.JudgeFirst),
        RyeFeeding.JudgeMonthly,
        One(FinalFallFeeding.Judge),
        SummerFeeding.Judge,
        One(CoolFallFeeding.Judge),
        One(LateFallFeeding.Judge),
        One(Dormancy.Judge),
        One(FirstFrost.Judge),
        One(FirstFreeze.Judge),
        One(WinterWeedPreEmergent.Judge),
        One(CrabgrassPreEmergent.Judge),
        One(GreenUp.Judge),
        One(SpringScalp.Judge),
        One(SpringTransition.Judge),
        One(SummerStress.Judge),
        One(CoreAeration.Judge),
        One(Dethatching.Judge),
    ];

    /// <summary>Judges every window that the lawn has; each says which grass it speaks of.</summary>
    /// <param name="year">The lawn, its record, its season and its weather.</param>
    public static ImmutableArray<SeasonWindow> Of(LawnYear year) =>
        [.. Rules.SelectMany(rule => rule(year)).OfType<SeasonWindow>()];

    private static Func<LawnYear, IEnumerable<SeasonWindow?>> One(
        Func<LawnYear, SeasonWindow?> judge
    ) => year => [judge(year)];
}
