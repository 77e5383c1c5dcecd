using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>A date that is not yet certain: one in ten is earlier, half are, one in ten is later.</summary>
/// <param name="Earliest">Earliest likely; null when the event is absent even in the early courses.</param>
/// <param name="Median">Median; null when half of the courses lack the event.</param>
/// <param name="Latest">Latest likely; null when a tenth of the courses lack the event.</param>
/// <param name="Courses">Courses looked at.</param>
/// <param name="Without">Courses in which the event does not come.</param>
public sealed record DateSpread(
    LocalDate? Earliest,
    LocalDate? Median,
    LocalDate? Latest,
    int Courses,
    int Without
)
{
    /// <summary>An event of which nothing can be said.</summary>
    public static DateSpread Unknown { get; } = new(null, null, null, 0, 0);

    /// <summary>A date that is known, because it is past or fixed.</summary>
    public static DateSpread On(LocalDate date) => new(date, date, date, 1, 0);
}

/// <summary>The windows and events of a lawn's year.</summary>
public enum WindowKind
{
    /// <summary>Sow winter rye into a warm-season lawn.</summary>
    Overseed,

    /// <summary>Sow cool-season grass in late summer.</summary>
    CoolSeasonSeeding,

    /// <summary>Watch new seed come up.</summary>
    Germination,

    /// <summary>First feeding of new rye.</summary>
    FirstRyeFeeding,

    /// <summary>Monthly feeding of rye through winter.</summary>
    RyeFeeding,

    /// <summary>Last feeding of a warm-season lawn before it goes dormant.</summary>
    FinalFallFeeding,

    /// <summary>Feeding of a warm-season lawn in its growing season.</summary>
    SummerFeeding,

    /// <summary>Main fall feeding of a cool-season lawn.</summary>
    CoolFallFeeding,

    /// <summary>Late-fall feeding of a cool-season lawn.</summary>
    LateFallFeeding,

    /// <summary>The base grass goes dormant.</summary>
    Dormancy,

    /// <summary>First frost.</summary>
    FirstFrost,

    /// <summary>First freeze.</summary>
    FirstFreeze,

    /// <summary>Pre-emergent against winter weeds.</summary>
    WinterWeedPreEmergent,

    /// <summary>Pre-emergent against crabgrass.</summary>
    CrabgrassPreEmergent,

    /// <summary>The base grass turns green.</summary>
    GreenUp,

    /// <summary>Low first cut of a warm-season lawn after green-up.</summary>
    SpringScalp,

    /// <summary>From rye back to the base grass.</summary>
    SpringTransition,

    /// <summary>Heat and drought that a cool-season lawn suffers from.</summary>
    SummerStress,

    /// <summary>Core aeration.</summary>
    CoreAeration,

    /// <summary>Dethatching.</summary>
    Dethatching,
}

/// <summary>Where a window stands on a day.</summary>
public enum WindowStanding
{
    /// <summary>Not open yet.</summary>
    Ahead,

    /// <summary>Open.</summary>
    Open,

    /// <summary>Open, and likely to close within about ten days.</summary>
    ClosingSoon,

    /// <summary>Over for this season.</summary>
    Closed,

    /// <summary>Done: the owner's record says so.</summary>
    Done,

    /// <summary>Not for this lawn this season; the reason says why.</summary>
    Withheld,

    /// <summary>Nothing can be said.</summary>
    Unknown,
}

/// <summary>A window or event of one grass's season on one lawn.</summary>
public sealed record SeasonWindow
{
    /// <summary>What it is for.</summary>
    public required WindowKind Kind { get; init; }

    /// <summary>The year in which it opens (or would): with the kind it names the season, so that an alert is sent once.</summary>
    public required int Season { get; init; }

    /// <summary>Which of several in a season, for monthly feedings: 1, 2, …; 0 when there is one.</summary>
    public int Ordinal { get; init; }

    /// <summary>The grass it speaks of.</summary>
    public required GrassKind Grass { get; init; }

    /// <summary>Its name as a reader sees it, for example "Overseed with winter rye".</summary>
    public required Phrase Name { get; init; }

    /// <summary>Where it stands today.</summary>
    public required WindowStanding Standing { get; init; }

    /// <summary>When it opens, or when the event comes.</summary>
    public required DateSpread Opens { get; init; }

    /// <summary>When it closes; null for an event.</summary>
    public DateSpread? Closes { get; init; }

    /// <summary>Best dates within it; null when none are better than others.</summary>
    public DateSpread? Best { get; init; }

    /// <summary>What to do, in order, one sentence each; empty when there is nothing to do.</summary>
    public required ImmutableArray<Phrase> Steps { get; init; }

    /// <summary>How much product, seed or water, for the area if it is known.</summary>
    public ImmutableArray<Phrase> Amounts { get; init; } = [];

    /// <summary>The rate that the amounts are about, nitrogen of a feeding or seed of a sowing [g/m²]; null when there is none.</summary>
    public double? AdvisedGM2 { get; init; }

    /// <summary>Why then: evidence, threshold and source.</summary>
    public required ImmutableArray<Finding> Why { get; init; }

    /// <summary>Cautions of this work.</summary>
    public ImmutableArray<Phrase> Cautions { get; init; } = [];

    /// <summary>What the dates rest on.</summary>
    public required OutlookBasis Basis { get; init; }

    /// <summary>Stable name of the window in its season, for example <c>Overseed:2026</c> or <c>RyeFeeding:2026.3</c>.</summary>
    public string Key => Ordinal == 0 ? $"{Kind}:{Season}" : $"{Kind}:{Season}.{Ordinal}";
}
