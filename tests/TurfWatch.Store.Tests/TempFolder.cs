using TurfWatch.Testing;

namespace TurfWatch.Store.Tests;

/// <summary>A store in a folder of its own.</summary>
internal sealed class TempFolder : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public string Path => _folder.Path;

    public StoreOptions Options =>
        new()
        {
            DataDirectory = Path,
            MinFreeDiskMiB = 1,
            BusyTimeout = TimeSpan.FromSeconds(1),
        };

    public string Database => System.IO.Path.Combine(Path, "turfwatch.db");

    public Task<TurfStore> OpenAsync(
        TimeProvider time,
        CancellationToken cancellation,
        StoreAccess access = StoreAccess.Own
    ) => TurfStore.OpenAsync(Options, time, cancellation, access);

    public async ValueTask DisposeAfterAsync(ValueTask store)
    {
        await store;
        Dispose();
    }

    public void Dispose() => _folder.Dispose();
}
