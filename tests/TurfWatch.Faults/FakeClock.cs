using System.Globalization;
using NodaTime;
using TurfWatch.Testing;

namespace TurfWatch.Faults;

/// <summary>
/// The wall clock of one process, moved while it runs (libfaketime). The machine's own clock and the time that has
/// passed (CLOCK_MONOTONIC) stay real, as when someone sets a clock.
/// </summary>
internal sealed class FakeClock
{
    private const string Library = "/usr/lib/x86_64-linux-gnu/faketime/libfaketimeMT.so.1";

    private readonly string _file;
    private readonly List<(Instant From, Duration Ahead)> _moves = [];

    public FakeClock(string folder, Duration ahead)
    {
        Needs.That(
            File.Exists(Library),
            "libfaketime is not installed; try: apt-get install -y faketime"
        );
        _file = Path.Combine(folder, $"clock-{Guid.NewGuid():N}");
        Move(ahead);
    }

    public IReadOnlyDictionary<string, string> Environment =>
        new Dictionary<string, string>
        {
            ["LD_PRELOAD"] = Library,
            ["FAKETIME_TIMESTAMP_FILE"] = _file,
            // The file is read again after a second at most; at every look at the clock would cost too much.
            ["FAKETIME_CACHE_DURATION"] = "1",
            ["FAKETIME_DONT_FAKE_MONOTONIC"] = "1",
            ["FAKETIME_DONT_RESET"] = "1",
        };

    /// <summary>Now, by this clock.</summary>
    public Instant Now => FaultRig.Now + _moves[^1].Ahead;

    /// <summary>Sets the clock to be so far ahead of the real one.</summary>
    public void Move(Duration ahead)
    {
        // Renamed into place: the program never reads half of it.
        var draft = _file + ".new";
        File.WriteAllText(
            draft,
            string.Create(CultureInfo.InvariantCulture, $"{ahead.TotalSeconds:+0;-0}\n")
        );
        File.Move(draft, _file, overwrite: true);
        _moves.Add((FaultRig.Now, ahead));
    }

    /// <summary>How far ahead it was at an instant; the program may hear of a move two seconds late.</summary>
    public Duration AheadAt(Instant real)
    {
        var heard = real - Duration.FromSeconds(2);
        var last = _moves.FindLastIndex(m => m.From <= heard);
        return _moves[Math.Max(0, last)].Ahead;
    }
}
