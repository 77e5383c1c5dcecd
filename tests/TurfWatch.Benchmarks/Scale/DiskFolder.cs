namespace TurfWatch.Benchmarks.Scale;

/// <summary>A new folder on the disk (TMPDIR says where), for what is measured with its flushes; a test's folder is in memory.</summary>
internal sealed class DiskFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("turfwatch-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
