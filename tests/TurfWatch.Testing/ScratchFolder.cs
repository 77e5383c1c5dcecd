namespace TurfWatch.Testing;

/// <summary>A new folder for one test, in memory where the machine has such a place: what is tested is not the disk.</summary>
public sealed class ScratchFolder : IDisposable
{
    private const string InMemory = "/dev/shm";

    public string Path { get; } =
        Directory.Exists(InMemory)
            ? Directory
                .CreateDirectory(System.IO.Path.Combine(InMemory, $"turfwatch-{Guid.NewGuid():N}"))
                .FullName
            : Directory.CreateTempSubdirectory("turfwatch-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
