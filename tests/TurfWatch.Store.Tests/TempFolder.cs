namespace TurfWatch.Store.Tests;

internal sealed class TempFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("turfwatch-store-").FullName;

    public StoreOptions Options => new() { DataDirectory = Path, MinFreeDiskMiB = 1 };

    public Task<TurfStore> OpenAsync(TimeProvider time, CancellationToken cancellation) =>
        TurfStore.OpenAsync(Options, time, cancellation);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
