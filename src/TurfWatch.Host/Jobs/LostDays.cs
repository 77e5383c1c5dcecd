using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Jobs;

/// <summary>The days of a cell that were kept and could not be read: they are fetched again, and told as missing until they are there.</summary>
internal sealed class LostDays
{
    private readonly ImmutableArray<DataNote> _notes;

    private LostDays(ImmutableArray<DataNote> notes) => _notes = notes;

    public bool Any => _notes.Length > 0;

    /// <summary>Since when station reports are to be read again; null when none were lost.</summary>
    public Instant? ReportsSince =>
        _notes
            .Where(n => n.Subject == DataSubject.Observations)
            .Select(n => (Instant?)FirstHourEnd(n))
            .Min();

    public static LostDays Of(CellWeather kept) =>
        new([.. kept.Notes.Where(n => n.Day is not null)]);

    /// <summary>The fetched weather, with the notes on those days of which hours are missing in it still.</summary>
    public CellWeather StillIn(CellWeather fetched) =>
        fetched with
        {
            Notes = [.. fetched.Notes, .. _notes.Where(n => IsMissing(n, fetched.Hours))],
        };

    private static bool IsMissing(DataNote note, WeatherSeries hours)
    {
        if (hours.Count == 0)
        {
            return true;
        }

        var first = hours.IndexOf(FirstHourEnd(note));
        var air = hours[WeatherColumn.AirTemperatureC];
        for (var i = Math.Max(0, first); i < Math.Min(hours.Count, first + 24); i++)
        {
            if (double.IsNaN(air[i]))
            {
                return true;
            }
        }

        return false;
    }

    private static Instant FirstHourEnd(DataNote note) =>
        note.Day!.Value.AtMidnight().InUtc().ToInstant();
}
