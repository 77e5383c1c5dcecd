using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>The US National Weather Service.</summary>
public sealed class NwsOptions : OriginOptions
{
    public const string Section = "Weather:Nws";

    public NwsOptions() => BaseAddress = new Uri("https://api.weather.gov");

    /// <summary>Age of a forecast, counted from when the office made it, from which it is marked as old.</summary>
    public TimeSpan ForecastStaleAfter { get; set; } = TimeSpan.FromHours(18);

    /// <summary>Age from which a forecast is not used at all.</summary>
    public TimeSpan ForecastTooOldAfter { get; set; } = TimeSpan.FromHours(36);

    /// <summary>How long a place keeps its grid cell before it is looked up again.</summary>
    public TimeSpan CellKept { get; set; } = TimeSpan.FromDays(7);

    /// <summary>Largest difference in height between the place and an observation station [m].</summary>
    public double StationHeightDifferenceM { get; set; } = 150;

    /// <inheritdoc/>
    public override IEnumerable<string> Faults(string section)
    {
        foreach (var fault in base.Faults(section))
        {
            yield return fault;
        }

        if (ForecastStaleAfter < TimeSpan.FromHours(6) || ForecastStaleAfter > ForecastTooOldAfter)
        {
            yield return $"{section}:ForecastStaleAfter is {ForecastStaleAfter}; write a time span from 06:00:00 to ForecastTooOldAfter ({ForecastTooOldAfter}).";
        }

        if (ForecastTooOldAfter > TimeSpan.FromDays(4))
        {
            yield return $"{section}:ForecastTooOldAfter is {ForecastTooOldAfter}; write a time span of at most 4.00:00:00.";
        }

        if (CellKept < TimeSpan.FromHours(1) || CellKept > TimeSpan.FromDays(30))
        {
            yield return $"{section}:CellKept is {CellKept}; write a time span from 01:00:00 to 30.00:00:00.";
        }

        if (StationHeightDifferenceM is not (>= 10 and <= 2000))
        {
            yield return $"{section}:StationHeightDifferenceM is {StationHeightDifferenceM}; write a number from 10 to 2000.";
        }
    }
}
