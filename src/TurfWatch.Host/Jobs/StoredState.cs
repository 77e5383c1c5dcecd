using TurfWatch.Core;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>Site states in and out of the store.</summary>
internal static class StoredState
{
    public static async Task<SiteState?> LoadAsync(
        TurfStore store,
        string cellId,
        SurfaceClass surface,
        CancellationToken cancel
    )
    {
        var stored = await store.SiteStates.LoadAsync(cellId, surface, cancel);
        try
        {
            return stored is null ? null : SiteState.Unpack(stored.Body);
        }
        catch (FormatException)
        {
            return null; // Another version wrote it: the soil is spun up afresh.
        }
    }

    public static Task SaveAsync(
        TurfStore store,
        string cellId,
        SurfaceClass surface,
        SiteState state,
        CancellationToken cancel
    ) =>
        store.SiteStates.SaveAsync(
            cellId,
            surface,
            new StoredSiteState(state.ValidAt, state.Pack()),
            cancel
        );
}
