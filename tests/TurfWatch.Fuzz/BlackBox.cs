using System.IO.MemoryMappedFiles;

namespace TurfWatch.Fuzz;

/// <summary>
/// Holds the input that is being tried in a file in memory, which outlives the process: an overflow of the stack ends it
/// without a word. A watch beside it ends the process when one input does not come to an end.
/// </summary>
internal sealed class BlackBox : IDisposable
{
    private const int Room = 1 << 20;
    private const int HangSeconds = 30;

    private readonly string _path;
    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _view;
    private readonly Timer _watch;
    private string _what = "";
    private int _looks;

    public BlackBox(string folder)
    {
        Directory.CreateDirectory(folder);
        _path = Path.Combine(folder, $"current-input-{Environment.ProcessId}.bin");
        _file = MemoryMappedFile.CreateFromFile(_path, FileMode.Create, null, Room);
        _view = _file.CreateViewAccessor();
        _watch = new(_ => Look(), null, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1));
    }

    /// <summary>The file: four bytes of length, then the input.</summary>
    public void Holds(FuzzTarget target, byte[] input)
    {
        _view.Write(0, Math.Min(input.Length, Room - 4));
        _view.WriteArray(4, input, 0, Math.Min(input.Length, Room - 4));
        _what = target.Name;
        Interlocked.Exchange(ref _looks, 0);
    }

    public void Dispose()
    {
        _watch.Dispose();
        _view.Dispose();
        _file.Dispose();
        File.Delete(_path);
    }

    // Looks are counted, not time: of a process that was stopped or not run for a while, nothing follows.
    private void Look()
    {
        if (Interlocked.Increment(ref _looks) > HangSeconds)
        {
            Environment.FailFast(
                $"{_what}: an input did not come to an end within {HangSeconds} s; it is in {_path}"
            );
        }
    }
}
