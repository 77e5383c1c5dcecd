using TurfWatch.Core;
using TurfWatch.Core.Physics;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>What the store keeps of the surface classes of one cell; nothing where there is no cell.</summary>
internal sealed class KeptSurfaces(TurfStore store, WeatherCell? cell, StoredYears? years)
{
    /// <summary>Past soil is of the physics that runs: another build works it out anew.</summary>
    public static readonly string Physics = typeof(SiteModel).Module.ModuleVersionId.ToString("N");

    private readonly Dictionary<SurfaceClass, (SiteState? State, KeptSeason Season)> _kept = [];

    public SiteState? State(SurfaceClass surface) => _kept[surface].State;

    public KeptSeason Season(SurfaceClass surface) => _kept[surface].Season;

    /// <summary>Reads what is not read yet of the classes that a lawn can be in.</summary>
    public async Task LoadAsync(Lawn lawn, CancellationToken cancel)
    {
        foreach (var surface in AssessMorning.Candidates(lawn))
        {
            if (!_kept.ContainsKey(surface))
            {
                _kept[surface] = cell is null
                    ? (null, new(null, null))
                    : await LoadAsync(cell, surface, cancel);
            }
        }
    }

    private async Task<(SiteState?, KeptSeason)> LoadAsync(
        WeatherCell of,
        SurfaceClass surface,
        CancellationToken cancel
    ) =>
        (
            await StoredState.LoadAsync(store, of.Id, surface, cancel),
            new(
                await store.YearDays.LoadAsync(of.Id, surface, cancel),
                years is null
                    ? null
                    : await store.PastSoils.LoadAsync(
                        of.Id,
                        surface,
                        years.FetchedAt,
                        Physics,
                        cancel
                    )
            )
        );
}
