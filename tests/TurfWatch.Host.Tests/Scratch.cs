namespace TurfWatch.Host.Tests;

/// <summary>A folder of its own for one test, gone afterwards.</summary>
internal sealed class Scratch : IDisposable
{
    public Scratch() => Directory.CreateDirectory(Folder);

    public string Folder { get; } =
        Path.Combine(Path.GetTempPath(), "turfwatch-" + Guid.NewGuid().ToString("N"));

    public string Write(string name, string content)
    {
        var path = Path.Combine(Folder, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, content);
        return path;
    }

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
