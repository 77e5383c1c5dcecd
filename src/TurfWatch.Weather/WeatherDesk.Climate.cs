using TurfWatch.Core;
using TurfWatch.Weather.NasaPower;

namespace TurfWatch.Weather;

/// <summary>What became of the question for a climate.</summary>
/// <param name="Climate">The climate; null when it is missing.</param>
/// <param name="Years">The days that it was made from; null when they are missing.</param>
/// <param name="Note">Who gave it, up to when, or why it is missing.</param>
public sealed record ClimateAnswer(PlaceClimate? Climate, PastYears? Years, DataNote Note);

/// <content>What is usual at a place.</content>
public sealed partial class WeatherDesk
{
    /// <summary>Whether a source of climates is switched on.</summary>
    public bool HasClimate => _power is not null;

    /// <summary>The climate around a cell. A source that fails costs a note, never an exception.</summary>
    public async Task<ClimateAnswer> ClimateAsync(WeatherCell cell, CancellationToken ct)
    {
        if (_power is null)
        {
            return new(
                null,
                null,
                Missing(DataSubject.Climate, "", "No source of it is switched on.")
            );
        }

        try
        {
            var (climate, years) = await _power.ClimateAsync(cell, ct);
            return new(climate, years, ClimateNote);
        }
        catch (Exception e) when (!ct.IsCancellationRequested)
        {
            return new(
                null,
                null,
                Missing(DataSubject.Climate, _power.CreditName, ReasonOf(e, _power))
            );
        }
    }

    /// <summary>The note that goes with a climate, kept or just fetched. Twenty years have no age worth telling.</summary>
    public static DataNote ClimateNote { get; } =
        new(DataSubject.Climate, NasaPowerSource.Credit, null, DataStanding.Fresh);
}
