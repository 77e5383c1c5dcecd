using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Jobs;

/// <summary>Gives the weather of a cell at a moment: fetched and kept in the service, invented in the demo.</summary>
public interface ICellWeather
{
    Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel);
}
