namespace TurfWatch.Testing;

/// <summary>A new folder for one test, in memory where the machine has such a place: what is tested is not the disk.</summary>
public sealed class ScratchFolder : IDisposable
{
    private const string InMemory = "/dev/shm";
    private const string OnDisk = "/var/tmp";

    private static string _parent = Directory.Exists(InMemory) ? InMemory : Temporary;

    public string Path { get; } =
        Directory
            .CreateDirectory(System.IO.Path.Combine(_parent, $"turfwatch-{Guid.NewGuid():N}"))
            .FullName;

    private static string Temporary => System.IO.Path.GetTempPath();

    /// <summary>From here on, new folders are on the disk: what is measured must wait for it, as the service does.</summary>
    public static void UseDisk() => _parent = Directory.Exists(OnDisk) ? OnDisk : Temporary;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
