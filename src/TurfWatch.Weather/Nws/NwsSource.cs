using System.Collections.Immutable;
using System.Text.Json;
using Microsoft.Extensions.Logging;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.Nws;

/// <summary>Warnings in force, and how good the list is.</summary>
public sealed record SourceHazards(ImmutableArray<Hazard> Hazards, DataNote Note);

/// <summary>The US National Weather Service: grid forecasts, station observations, warnings.</summary>
public sealed partial class NwsSource : IWeatherSource
{
    public const string SourceId = "nws";
    public const string Credit = "US National Weather Service";

    private const string StandsIn = "The service did not answer; its last good answer stands in.";
    private const int ReportsAPage = 500;
    private const int MostPages = 5;

    /// <summary>A station that has given this share of the hours needs no help from the next.</summary>
    private const double GoodCoverage = 0.8;

    /// <summary>Reports arrive late by an hour or two; from here on the station has fallen silent.</summary>
    private static readonly Duration SilentAfter = Duration.FromHours(6);
    private static readonly Duration ClockSlack = Duration.FromHours(1);

    private readonly INwsApi _api;
    private readonly NwsOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger<NwsSource> _logger;
    private readonly NwsCacheRules _rules;
    private readonly WeatherReader _reader;
    private readonly NwsCells _cells;

    public NwsSource(INwsApi api, NwsOptions options, TimeProvider time, ILogger<NwsSource> logger)
    {
        (_api, _options, _time, _logger) = (api, options, time, logger);
        _rules = new(options);
        _reader = new(SourceId, Credit, time);
        _cells = new(api, options, _reader, time, logger);
    }

    public string Id => SourceId;

    public string CreditName => Credit;

    /// <summary>The cell that serves a place; one without a grid where the service has none.</summary>
    /// <param name="place">The place.</param>
    /// <param name="askAgain">Do not trust kept answers: the cell has just proved wrong.</param>
    /// <param name="ct">Cancels.</param>
    /// <exception cref="WeatherSourceException">The service could not be asked.</exception>
    public Task<WeatherCell> ResolveAsync(
        Place place,
        bool askAgain = false,
        CancellationToken ct = default
    ) => _cells.ResolveAsync(place, askAgain, ct);

    /// <inheritdoc/>
    /// <remarks>The fault <see cref="WeatherFault.NoCoverage"/> means that the cell must be resolved again.</remarks>
    public async Task<SourceHours> ForecastAsync(WeatherCell cell, CancellationToken ct)
    {
        if (cell is not { GridId: { } office, GridX: { } x, GridY: { } y })
        {
            throw _reader.Fault(WeatherFault.NoCoverage, $"{cell.Id} has no grid cell");
        }

        var answer = await _reader.ReadAsync(
            () => _api.GridpointAsync(office, x, y, _rules.Forecast, ct),
            NwsJson.Default.GridpointAnswer,
            ct
        );
        if (
            GeoShape.Ring(answer.Body.Geometry) is { } ring
            && !GeoShape.Contains(ring, cell.LatitudeDeg, cell.LongitudeDeg)
        )
        {
            throw _reader.Fault(
                WeatherFault.NoCoverage,
                $"{cell.Id} no longer lies around {cell.LatitudeDeg:F3},{cell.LongitudeDeg:F3}"
            );
        }

        GridForecast grid;
        try
        {
            grid = answer.Body.Properties is { ValueKind: JsonValueKind.Object } properties
                ? GridForecast.Read(properties, Now())
                : throw new FormatException("the gridpoint has no properties");
        }
        catch (FormatException e)
        {
            throw _reader.Fault(WeatherFault.BadAnswer, $"{cell.Id}: {e.Message}", e);
        }

        foreach (var fault in grid.Faults)
        {
            LogLeftOut(cell.Id, ForeignText.OneLine(fault));
        }

        return new(grid.Hours, ForecastNote(cell, grid.UpdatedAt, answer.Origin));
    }

    /// <inheritdoc/>
    public async Task<SourceHours> PastAsync(
        WeatherCell cell,
        Instant from,
        Instant to,
        CancellationToken ct
    )
    {
        WeatherSourceException? trouble = null;
        WeatherSeries? hours = null;
        Instant? standIn = null;
        foreach (var station in cell.StationIds)
        {
            try
            {
                var (series, checkedAt) = await StationAsync(station, from, to, ct);
                if (series is not null)
                {
                    hours = hours?.Over(series) ?? series;
                    standIn = checkedAt ?? standIn;
                }

                if (hours is not null && Coverage(hours) >= GoodCoverage)
                {
                    break;
                }
            }
            catch (WeatherSourceException e)
            {
                LogLeftOut(cell.Id, e.Message);
                trouble = e;
            }
        }

        if (hours is null)
        {
            throw trouble
                ?? _reader.Fault(
                    cell.StationIds.Count == 0 ? WeatherFault.NoCoverage : WeatherFault.TooOld,
                    $"{cell.Id}: no station has reports between {from} and {to}"
                );
        }

        return new(hours, PastNote(hours, to, standIn));
    }

    /// <summary>Warnings in force at a point. A failure throws: no answer is never "no warnings".</summary>
    /// <exception cref="WeatherSourceException">The service gave no list.</exception>
    public async Task<SourceHazards> HazardsAsync(
        double latitudeDeg,
        double longitudeDeg,
        CancellationToken ct
    )
    {
        var point = $"{NwsCells.Coordinate(latitudeDeg)},{NwsCells.Coordinate(longitudeDeg)}";
        var answer = await _reader.ReadAsync(
            () => _api.ActiveAlertsAsync(point, "actual", _rules.Hazards, ct),
            NwsJson.Default.AlertsAnswer,
            ct
        );
        var features =
            answer.Body.Features
            ?? throw _reader.Fault(WeatherFault.BadAnswer, "the list of alerts has no 'features'");
        return new(
            NwsHazards.InForce(features, Now()),
            StandInNote(DataSubject.Hazards, answer.Origin.CheckedAt, answer.Origin)
        );
    }

    private async Task<(WeatherSeries? Hours, Instant? StandIn)> StationAsync(
        string station,
        Instant from,
        Instant to,
        CancellationToken ct
    )
    {
        var reports = new List<ObservationProperties>();
        string? cursor = null;
        Instant? standIn = null;
        for (var page = 0; page < MostPages; page++)
        {
            var answer = await _reader.ReadAsync(
                () =>
                    _api.ObservationsAsync(station, ReportsAPage, cursor, _rules.Observations, ct),
                NwsJson.Default.ObservationsAnswer,
                ct
            );
            standIn ??= answer.Origin.StaleReason is null ? null : answer.Origin.CheckedAt;
            var batch = (answer.Body.Features ?? [])
                .Select(f => f?.Properties)
                .OfType<ObservationProperties>()
                .ToList();
            reports.AddRange(batch);
            var oldest = batch.Min(r => r.Timestamp);
            cursor = Cursor(answer.Body.Pagination?.Next);
            if (
                cursor is null
                || oldest is null
                || Instant.FromDateTimeOffset(oldest.Value) <= from
            )
            {
                break;
            }
        }

        return (StationHours.Read(reports, from, to), standIn);
    }

    /// <summary>The cursor in the address of the next page; we ask with our own parameters.</summary>
    private static string? Cursor(string? next)
    {
        var at = next?.IndexOf("cursor=", StringComparison.Ordinal) ?? -1;
        return at < 0 ? null : Uri.UnescapeDataString(next![(at + 7)..].Split('&')[0]);
    }

    private DataNote ForecastNote(WeatherCell cell, Instant? updatedAt, AnswerOrigin origin)
    {
        var note = StandInNote(DataSubject.Forecast, updatedAt ?? origin.CheckedAt, origin);
        if (updatedAt is not { } made)
        {
            return note with
            {
                Standing = DataStanding.Stale,
                Reason = "The forecast does not say when it was made.",
            };
        }

        var age = Now() - made;
        if (age > Duration.FromTimeSpan(_options.ForecastTooOldAfter))
        {
            throw _reader.Fault(
                WeatherFault.TooOld,
                $"{cell.Id} was made at {made}, {age.TotalHours:F0} hours ago"
            );
        }

        if (age < -ClockSlack)
        {
            return note with
            {
                Standing = DataStanding.Stale,
                Reason = "The forecast is dated in the future.",
            };
        }

        return age > Duration.FromTimeSpan(_options.ForecastStaleAfter)
            ? note with
            {
                Standing = DataStanding.Stale,
                Reason = $"The forecast is {age.TotalHours:F0} hours old.",
            }
            : note;
    }

    private static DataNote PastNote(WeatherSeries hours, Instant to, Instant? standIn)
    {
        var newest = Instant.MinValue;
        for (var i = 0; i < hours.Count; i++)
        {
            newest = Instant.Max(newest, hours.Origins[i].IssuedAt ?? Instant.MinValue);
        }

        var note = new DataNote(DataSubject.Observations, Credit, newest, DataStanding.Fresh);
        var reason =
            standIn is not null ? StandsIn
            : to - newest > SilentAfter
                ? $"The newest report is {(to - newest).TotalHours:F0} hours old."
            : null;
        return reason is null ? note : note with { Standing = DataStanding.Stale, Reason = reason };
    }

    private static DataNote StandInNote(
        DataSubject subject,
        Instant dataTime,
        AnswerOrigin origin
    ) =>
        origin.StaleReason is null
            ? new(subject, Credit, dataTime, DataStanding.Fresh)
            : new(subject, Credit, dataTime, DataStanding.Stale, StandsIn);

    private static double Coverage(WeatherSeries hours)
    {
        var known = 0;
        foreach (var value in hours[WeatherColumn.AirTemperatureC])
        {
            known += double.IsNaN(value) ? 0 : 1;
        }

        return (double)known / hours.Count;
    }

    private Instant Now() => Instant.FromDateTimeOffset(_time.GetUtcNow());

    [LoggerMessage(Level = LogLevel.Warning, Message = "{Cell}: {Fault}")]
    private partial void LogLeftOut(string cell, string fault);
}
