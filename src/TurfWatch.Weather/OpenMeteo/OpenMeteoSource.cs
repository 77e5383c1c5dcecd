using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.OpenMeteo;

/// <summary>Forecast and past hours from Open-Meteo. Its past is earlier forecasts stitched together, not measurements.</summary>
public sealed class OpenMeteoSource : IWeatherSource
{
    public const string SourceId = "open-meteo";

    private const int MostPastDays = 92;
    private const int ForecastDays = 8;
    private const int CoordinateDecimals = 2; // about 1 km: its finest US grid has 3 km

    private readonly IOpenMeteoApi _api;
    private readonly OpenMeteoOptions _options;
    private readonly TimeProvider _time;
    private readonly WeatherReader _reader;

    internal OpenMeteoSource(IOpenMeteoApi api, OpenMeteoOptions options, TimeProvider time)
    {
        _api = api;
        _options = options;
        _time = time;
        _reader = new(SourceId, "Open-Meteo", time);
    }

    public string Id => SourceId;

    public string CreditName => _options.Attribution;

    public async Task<SourceHours> ForecastAsync(WeatherCell cell, CancellationToken ct)
    {
        // One day back: the first hour needs the value at its beginning.
        var (hours, origin) = await AskAsync(cell, 1, ForecastDays, _options.ForecastKept, ct);
        if (!HasTemperature(hours, Now(), Instant.MaxValue))
        {
            throw _reader.Fault(WeatherFault.BadAnswer, "holds no air temperature to come");
        }

        return new(hours, Note(DataSubject.Forecast, origin.CheckedAt, origin));
    }

    public async Task<SourceHours> PastAsync(
        WeatherCell cell,
        Instant from,
        Instant to,
        CancellationToken ct
    )
    {
        var days = (int)Math.Ceiling((Now() - from).TotalDays) + 1;
        var (all, origin) = await AskAsync(
            cell,
            Math.Clamp(days, 1, MostPastDays),
            1,
            _options.PastKept,
            ct
        );
        var hours = all.Slice(from, Instant.Min(to, Now()));
        if (!HasTemperature(hours, from, to))
        {
            throw _reader.Fault(
                WeatherFault.BadAnswer,
                $"holds no air temperature from {from} to {to}"
            );
        }

        return new(hours, Note(DataSubject.History, origin.CheckedAt, origin));
    }

    private async Task<(WeatherSeries Hours, AnswerOrigin Origin)> AskAsync(
        WeatherCell cell,
        int pastDays,
        int forecastDays,
        TimeSpan keptFor,
        CancellationToken ct
    )
    {
        var answer = await _reader.ReadAsync(
            () =>
                _api.HourlyAsync(
                    Math.Round(cell.LatitudeDeg, CoordinateDecimals),
                    Math.Round(cell.LongitudeDeg, CoordinateDecimals),
                    OpenMeteoColumn.Names,
                    pastDays,
                    forecastDays,
                    new(_options.FreshFor, _options.FreshFor, _options.FreshFor, keptFor),
                    ct
                ),
            OpenMeteoJson.Default.OpenMeteoAnswer,
            ct
        );
        try
        {
            return (OpenMeteoHours.Read(answer.Body, Now()), answer.Origin);
        }
        catch (FormatException e)
        {
            throw _reader.Fault(WeatherFault.BadAnswer, e.Message, e);
        }
    }

    private DataNote Note(DataSubject subject, Instant dataTime, AnswerOrigin origin) =>
        new(
            subject,
            _options.Attribution,
            dataTime,
            origin.StaleReason is null ? DataStanding.Fresh : DataStanding.Stale,
            origin.StaleReason is null
                ? null
                : "Open-Meteo could not be reached; its earlier answer is used."
        );

    private static bool HasTemperature(WeatherSeries hours, Instant from, Instant to)
    {
        var temperature = hours[WeatherColumn.AirTemperatureC];
        for (var i = 0; i < hours.Count; i++)
        {
            if (hours.HourEnd(i) >= from && hours.HourEnd(i) <= to && !double.IsNaN(temperature[i]))
            {
                return true;
            }
        }

        return false;
    }

    private Instant Now() => Instant.FromDateTimeOffset(_time.GetUtcNow());
}
