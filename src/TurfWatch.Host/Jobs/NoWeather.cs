using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Jobs;

/// <summary>What is said when nothing, or nothing recent, is known of the weather.</summary>
internal static class NoWeather
{
    private const string SourceName = "Weather services";

    private static readonly Duration ForecastOld = Duration.FromHours(18);
    private static readonly Duration ForecastUseless = Duration.FromHours(36);
    private static readonly Duration HazardsUseless = Duration.FromHours(2);

    private static readonly DataSubject[] Asked =
    [
        DataSubject.Forecast,
        DataSubject.Observations,
        DataSubject.History,
        DataSubject.Hazards,
    ];

    /// <summary>The place has not been resolved to a cell yet.</summary>
    public static CellWeather WithoutCell(Instant now) =>
        For(now, "the weather services have not yet said which forecast serves this ZIP code");

    public static CellWeather For(Instant now, string reason) =>
        Age(new CellWeather(WeatherSeries.Empty, [], []), now, reason);

    /// <summary>
    /// The kept weather when it could not be renewed: notes grow old with the clock, and warnings that
    /// can no longer be vouched for are dropped.
    /// </summary>
    public static CellWeather Age(CellWeather kept, Instant now, string reason)
    {
        var notes = Asked
            .Select(subject =>
                kept.Note(subject) is { } note ? Age(note, now, reason) : Missing(subject, reason)
            )
            .Concat(kept.Notes.Where(n => n.Day is not null || !Asked.Contains(n.Subject)))
            .ToArray();
        var hazardsKnown = notes.Any(n =>
            n.Subject == DataSubject.Hazards && n.Standing != DataStanding.Missing
        );
        return kept with { Hazards = hazardsKnown ? kept.Hazards : [], Notes = [.. notes] };
    }

    private static DataNote Age(DataNote note, Instant now, string reason)
    {
        if (note.Standing == DataStanding.Missing || note.DataTime is not { } made)
        {
            return note;
        }

        var age = now - made;
        var useless = note.Subject switch
        {
            DataSubject.Forecast => age > ForecastUseless,
            DataSubject.Hazards => age > HazardsUseless,
            _ => false,
        };
        if (useless)
        {
            return Missing(note.Subject, reason) with { SourceName = note.SourceName };
        }

        return age > ForecastOld
            ? note with
            {
                Standing = DataStanding.Stale,
                Reason = note.Reason ?? reason,
            }
            : note;
    }

    private static DataNote Missing(DataSubject subject, string reason) =>
        new(subject, SourceName, null, DataStanding.Missing, reason);
}
