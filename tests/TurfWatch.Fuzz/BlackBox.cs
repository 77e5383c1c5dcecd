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

    // For an input that waits instead of working.
    private const int WaitSeconds = 600;

    private readonly string _path;
    private readonly MemoryMappedFile _file;
    private readonly MemoryMappedViewAccessor _view;
    private readonly Timer _watch;
    private string _what = "";
    private long _used = Environment.CpuUsage.TotalTime.Ticks; // as of the last look
    private long _usedBefore;
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
        Interlocked.Exchange(ref _usedBefore, _used);
    }

    public void Dispose()
    {
        _watch.Dispose();
        _view.Dispose();
        _file.Dispose();
        File.Delete(_path);
    }

    // Processor time and looks are counted, not the clock's: of a process that was stopped or starved nothing follows.
    private void Look()
    {
        Interlocked.Exchange(ref _used, Environment.CpuUsage.TotalTime.Ticks);
        var worked = TimeSpan.FromTicks(_used - Interlocked.Read(ref _usedBefore));
        if (Interlocked.Increment(ref _looks) > WaitSeconds || worked > Hang)
        {
            Environment.FailFast(
                $"{_what}: an input did not come to an end within {Hang} of work or {WaitSeconds} s; it is in {_path}"
            );
        }
    }
}
