using System.Diagnostics;
using System.IO.MemoryMappedFiles;

namespace TurfWatch.Fuzz;

/// <summary>
/// Holds the input that is being tried in a file in memory, which outlives the process: an overflow of the stack ends it
/// without a word. A watch beside it ends the process when one input does not come to an end.
/// </summary>
internal sealed class BlackBox : IDisposable
{
    private const int Room = 1 << 20;
    private static readonly TimeSpan Hang = TimeSpan.FromSeconds(30);

    private readonly string _path;
    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _view;
    private readonly Timer _watch;
    private long _since = Stopwatch.GetTimestamp();
    private string _what = "";

    public BlackBox(string folder)
    {
        Directory.CreateDirectory(folder);
        _path = Path.Combine(folder, $"current-input-{Environment.ProcessId}.bin");
        _file = MemoryMappedFile.CreateFromFile(_path, FileMode.Create, null, Room);
        _view = _file.CreateViewAccessor();
        _watch = new(_ => Look(), null, Hang, TimeSpan.FromSeconds(5));
    }

    /// <summary>The file: four bytes of length, then the input.</summary>
    public void Holds(FuzzTarget target, long number, byte[] input)
    {
        _view.Write(0, Math.Min(input.Length, Room - 4));
        _view.WriteArray(4, input, 0, Math.Min(input.Length, Room - 4));
        _what = target.Name;
        Interlocked.Exchange(ref _since, Stopwatch.GetTimestamp());
        _ = number;
    }

    public void Dispose()
    {
        _watch.Dispose();
        _view.Dispose();
        _file.Dispose();
        File.Delete(_path);
    }

    private void Look()
    {
        if (Stopwatch.GetElapsedTime(Interlocked.Read(ref _since)) > Hang)
        {
            Environment.FailFast(
                $"{_what}: an input did not come to an end within {Hang}; it is in {_path}"
            );
        }
    }
}
