using System.Collections.Immutable;

namespace TurfWatch.Core;

/// <summary>All that is known of a cell's weather at one moment: past and coming hours, warnings, and how good each is.</summary>
/// <param name="Hours">History, observations and forecast in one series, the better origin on top.</param>
/// <param name="Hazards">Warnings in force; empty also when unknown, so look at <see cref="Notes"/>.</param>
/// <param name="Notes">One note for each subject that was asked for, and one for each day that is missing of it alone.</param>
public sealed record CellWeather(
    WeatherSeries Hours,
    ImmutableArray<Hazard> Hazards,
    ImmutableArray<DataNote> Notes
)
{
    /// <summary>What is usual at the place, from past years; null when not known.</summary>
    public PlaceClimate? Climate { get; init; }

    /// <summary>The note on the whole of <paramref name="subject"/>, or null when it was not asked for.</summary>
    public DataNote? Note(DataSubject subject) =>
        Notes.FirstOrDefault(n => n.Subject == subject && n.Day is null);
}
