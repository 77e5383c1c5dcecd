using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Jobs;

/// <summary>What the physics found for a lawn.</summary>
/// <param name="Surface">Its surface class on that day.</param>
/// <param name="State">A state from which the run can go on.</param>
/// <param name="Shared">The conditions of all lawns of the class.</param>
/// <param name="Own">The same with what the owner's thermometer showed.</param>
internal sealed record LawnSite(
    SurfaceClass Surface,
    SiteState State,
    SiteConditions Shared,
    SiteConditions Own
);

/// <summary>
/// The pure middle, for all lawns of one cell at one moment: weather in, briefings out. The service,
/// the preview and the demo all go through here. Lawns of one surface class share one run of the physics.
/// </summary>
/// <param name="cell">The cell; null when the services could not say which it is.</param>
/// <param name="weather">What is known of its weather.</param>
/// <param name="now">The moment.</param>
/// <param name="carried">The state kept for a surface class, or null.</param>
internal sealed class AssessMorning(
    WeatherCell? cell,
    CellWeather weather,
    Instant now,
    Func<SurfaceClass, SiteState?> carried
)
{
    /// <summary>The days whose mean soil temperature decides whether the canopy is green.</summary>
    private const int RecentHours = 120;

    private const int FewestHours = 12;

    // The kept state lies four to six weeks back: growth since the last mowing is then inside the run,
    // and history that the services deliver a week late is still taken in.
    private static readonly Duration KeptLag = Duration.FromDays(28);
    private static readonly Duration RenewAfter = Duration.FromDays(42);

    // Weather that reaches further back than a state's own spin-up by this much makes the better start.
    private static readonly Duration MoreHistory = Duration.FromDays(5);

    private static readonly bool[] Seasons = [true, false];

    private readonly Dictionary<SurfaceClass, SiteRun> _runs = [];
    private readonly List<(SurfaceClass Surface, SiteState State)> _states = [];
    private SiteHours? _made;

    /// <summary>The states to keep in place of the former ones.</summary>
    public IReadOnlyList<(SurfaceClass Surface, SiteState State)> NewStates => _states;

    public CellWeather Weather => weather;

    public Instant Now => now;

    /// <summary>The surface classes that a lawn can be in, whose states may be asked for.</summary>
    public static IEnumerable<SurfaceClass> Candidates(Lawn lawn) =>
        from canopy in Enum.GetValues<CanopyState>()
        from warm in Seasons
        select new SurfaceClass(canopy, lawn.Shade, lawn.Irrigated, lawn.Soil, warm);

    public Briefing Brief(Lawn lawn, LawnRecord record, LocalDate date) =>
        MorningBriefing.Build(lawn, record, SiteOf(lawn, record, date).Own, weather, now, date);

    public LawnSite SiteOf(Lawn lawn, LawnRecord record, LocalDate date)
    {
        var (surface, run) = RunOf(lawn, date);
        // What the owner's thermometer showed is this lawn's alone; the run below it stays shared.
        var own = SoilCorrection.Apply(
            run.Conditions,
            SoilReading.From(record, lawn.Place.Zone, now)
        );
        return new(surface, run.StateToKeep, run.Conditions, own);
    }

    public SiteDescription Describe(Place place) =>
        new(
            cell?.LatitudeDeg ?? place.LatitudeDeg,
            cell?.LongitudeDeg ?? place.LongitudeDeg,
            cell?.ElevationM ?? 0
        );

    /// <summary>
    /// Whether the canopy is green follows from the soil, and the soil from the canopy: a first run on
    /// the calendar's guess tells the soil, and a second is made when that speaks against the guess.
    /// </summary>
    private (SurfaceClass Surface, SiteRun Run) RunOf(Lawn lawn, LocalDate date)
    {
        var guess = SurfaceClasses.For(lawn, date, null);
        var first = Run(lawn, guess);
        var judged = SurfaceClasses.For(lawn, date, RecentSoilC(first.Conditions));
        return judged == guess ? (guess, first) : (judged, Run(lawn, judged));
    }

    private SiteRun Run(Lawn lawn, SurfaceClass surface)
    {
        if (_runs.TryGetValue(surface, out var known))
        {
            return known;
        }

        var site = Describe(lawn.Place);
        var from = CarriedFor(surface);
        if (from is not null && ReachesFurther(from))
        {
            from = null;
        }

        var run = SiteModel.Run(
            site,
            surface,
            weather.Hours,
            now,
            from,
            climate: weather.Climate,
            made: Made(site)
        );
        _runs.Add(surface, run);
        if (weather.Hours.Count > 0 && (from is null || now - from.ValidAt > RenewAfter))
        {
            Keep(site, surface, from);
        }

        return run;
    }

    /// <summary>Sun, sky and the rest of each hour are the same for every surface of the cell.</summary>
    private SiteHours Made(SiteDescription site) =>
        _made is not null && _made.Site == site
            ? _made
            : _made = SiteHours.Make(site, weather.Hours);

    private void Keep(SiteDescription site, SurfaceClass surface, SiteState? from)
    {
        var then = now - KeptLag;
        var past = weather.Hours.Slice(weather.Hours.FirstHourEnd, then + SiteModel.KeptBefore);
        if (past.Count > 0)
        {
            var state = SiteModel.StateToKeep(
                site,
                surface,
                past,
                then + SiteModel.KeptBefore,
                from,
                weather.Climate
            );
            _states.Add((surface, state));
        }
    }

    private bool ReachesFurther(SiteState state) =>
        weather.Hours.Count > 0
        && now - weather.Hours.FirstHourEnd
            > now - state.ValidAt + Duration.FromDays(state.SpinUpDays) + MoreHistory;

    /// <summary>The soil goes on from the other canopy's state when a lawn turns green or brown.</summary>
    private SiteState? CarriedFor(SurfaceClass surface)
    {
        var own = carried(surface);
        var other = carried(
            surface with
            {
                Canopy =
                    surface.Canopy == CanopyState.Active ? CanopyState.Dormant : CanopyState.Active,
            }
        );
        return own is null || other?.ValidAt > own.ValidAt ? other : own;
    }

    private double? RecentSoilC(SiteConditions site)
    {
        var last = Math.Min(site.IndexOf(now), site.Count - 1);
        double sum = 0;
        var known = 0;
        for (var i = Math.Max(0, last - RecentHours + 1); i <= last; i++)
        {
            if (!double.IsNaN(site.SoilTemperature10CmC[i]))
            {
                sum += site.SoilTemperature10CmC[i];
                known++;
            }
        }

        return known >= FewestHours ? sum / known : null;
    }
}
