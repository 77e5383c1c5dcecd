using System.Collections.Concurrent;
using System.Collections.Immutable;
using Microsoft.Extensions.Logging;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;
using TurfWatch.Weather.NasaPower;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.OpenMeteo;

namespace TurfWatch.Weather;

/// <summary>
/// All weather of a cell in one answer. A source that fails costs a note, never an exception: the next
/// source is asked, then the cell's own kept hours stand in, and the note says so.
/// </summary>
public sealed partial class WeatherDesk : IDisposable
{
    /// <summary>A place outside every grid is looked up again after this.</summary>
    private static readonly Duration UncoveredKept = Duration.FromDays(1);

    private static readonly Duration Ahead = Duration.FromDays(16);

    private readonly NwsSource? _nws;
    private readonly NasaPowerSource? _power;
    private readonly WeatherOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger<WeatherDesk> _logger;
    private readonly IWeatherSource[] _forecasters;
    private readonly IWeatherSource[] _historians;
    private readonly CancellationTokenSource _closing = new();
    private readonly ConcurrentDictionary<string, Lazy<Task<CellWeather>>> _flights = new(
        StringComparer.Ordinal
    );

    /// <summary>Cells that turned out to lie elsewhere, and what took their place.</summary>
    private readonly ConcurrentDictionary<string, WeatherCell> _moved = new(StringComparer.Ordinal);

    /// <summary>Why the service could not say which grid serves a place, by the id of the cell that stands in for it.</summary>
    private readonly ConcurrentDictionary<string, WeatherSourceException> _unresolved = new(
        StringComparer.Ordinal
    );

    /// <param name="nws">Null when switched off; likewise the next two.</param>
    public WeatherDesk(
        NwsSource? nws,
        NasaPowerSource? power,
        OpenMeteoSource? openMeteo,
        WeatherOptions options,
        TimeProvider time,
        ILogger<WeatherDesk> logger
    )
    {
        (_nws, _power, _options, _time, _logger) = (nws, power, options, time, logger);
        _forecasters = [.. new IWeatherSource?[] { nws, openMeteo }.OfType<IWeatherSource>()];
        _historians = [.. new IWeatherSource?[] { power, openMeteo }.OfType<IWeatherSource>()];
    }

    /// <summary>Whether <see cref="ResolveAsync"/> would look the cell up again: it is old, has moved, or never had a grid.</summary>
    public bool IsDue(WeatherCell cell) =>
        _moved.ContainsKey(cell.Id)
        || (
            cell.GridId is null
                ? Now() - cell.ResolvedAt > UncoveredKept
                : Now() - cell.ResolvedAt > Duration.FromTimeSpan(_options.Nws.CellKept)
        );

    /// <summary>The cell that serves a place. Where no grid does, or none can be asked, one at the place itself.</summary>
    /// <param name="place">The place.</param>
    /// <param name="known">The cell that served it so far; null when it is new.</param>
    /// <param name="ct">Cancels.</param>
    public async Task<WeatherCell> ResolveAsync(
        Place place,
        WeatherCell? known,
        CancellationToken ct
    )
    {
        if (known is not null && !IsDue(known))
        {
            return known;
        }

        if (_nws is null)
        {
            return PlaceCell.At(place, Now());
        }

        try
        {
            var hasMoved = known is not null && _moved.ContainsKey(known.Id);
            var cell = await _nws.ResolveAsync(place, askAgain: hasMoved, ct);
            // A cell that is gone stays marked: each of its ZIP codes has yet to be moved.
            if (cell.Id == known?.Id)
            {
                _moved.TryRemove(cell.Id, out _);
            }

            _unresolved.TryRemove(PlaceCell.At(place, Now()).Id, out _);
            return cell;
        }
        catch (Exception e) when (e is not OperationCanceledException)
        {
            LogUnresolved(place.Zip, e.Message);

            // Due again with the next fetch, not in a day.
            var due = Now() - UncoveredKept - Duration.FromSeconds(1);
            var standIn = known ?? PlaceCell.At(place, due);
            if (standIn.GridId is null)
            {
                // To have no grid because nobody could be asked is another thing than to lie outside every grid.
                _unresolved[standIn.Id] =
                    e as WeatherSourceException
                    ?? new(_nws.Id, _nws.CreditName, WeatherFault.BadAnswer, e.Message, e);
            }

            return standIn;
        }
    }

    /// <summary>
    /// Forecast, observations, history and warnings of a cell. Calls for one cell at the same time share
    /// one answer; what the sources' answers are good for, they are not asked again.
    /// </summary>
    /// <param name="cell">The cell.</param>
    /// <param name="kept">The cell's hours from earlier answers, past and ahead; only what they lack is asked for.</param>
    /// <param name="ct">Ends the wait; the fetch itself goes on for whoever else waits.</param>
    /// <param name="reportsLostSince">Since when kept station reports were lost and are wanted again; null when none were.</param>
    public async Task<CellWeather> FetchAsync(
        WeatherCell cell,
        WeatherSeries kept,
        CancellationToken ct,
        Instant? reportsLostSince = null
    )
    {
        ct.ThrowIfCancellationRequested();
        var flight = _flights.GetOrAdd(
            cell.Id,
            _ => new(() => FlyAsync(cell, kept, reportsLostSince))
        );
        return await flight.Value.WaitAsync(ct);
    }

    public void Dispose()
    {
        _closing.Cancel();
        _closing.Dispose();
    }

    private async Task<CellWeather> FlyAsync(
        WeatherCell cell,
        WeatherSeries kept,
        Instant? reportsLostSince
    )
    {
        try
        {
            return await GatherAsync(cell, kept, reportsLostSince, _closing.Token);
        }
        finally
        {
            _flights.TryRemove(cell.Id, out _);
        }
    }

    private async Task<CellWeather> GatherAsync(
        WeatherCell cell,
        WeatherSeries kept,
        Instant? reportsLostSince,
        CancellationToken ct
    )
    {
        var now = Now();
        var from = WholeHour(now - Duration.FromDays(_options.HistoryDays));
        kept = kept.Slice(from, now + Ahead);

        var forecasting = ForecastAsync(cell, ct);
        var observing = ObservationsAsync(
            cell,
            KeptHours.ObservationsFrom(kept, now, reportsLostSince),
            now,
            ct
        );
        var looking = HistoryAsync(cell, KeptHours.HistoryFrom(kept, from, now), now, ct);
        var warning = HazardsAsync(cell, ct);
        await Task.WhenAll(forecasting, observing, looking, warning);

        var forecast = WithKept(await forecasting, kept, now);
        var observations = await observing;
        var history = await looking;
        var (hazards, hazardNote) = await warning;
        var hours = HourLayers.Merge(
            from,
            now,
            kept,
            forecast.Hours,
            history?.Hours ?? WeatherSeries.Empty,
            observations.Hours
        );
        return new(
            hours,
            hazards,
            [forecast.Note, observations.Note, HistoryNote(history?.Note, hours, now), hazardNote]
        );
    }

    private Task<SourceHours> ForecastAsync(WeatherCell cell, CancellationToken ct) =>
        FirstAsync(
            DataSubject.Forecast,
            _forecasters,
            source => source == _nws ? GridForecastAsync(cell, ct) : source.ForecastAsync(cell, ct)
        );

    /// <summary>A grid that was redrawn answers for another place, or not at all: look the place up and ask once more.</summary>
    private async Task<SourceHours> GridForecastAsync(WeatherCell cell, CancellationToken ct)
    {
        ThrowIfUnresolved(cell);
        var current = _moved.GetValueOrDefault(cell.Id, cell);
        try
        {
            return await _nws!.ForecastAsync(current, ct);
        }
        catch (WeatherSourceException e)
            when (e.Fault == WeatherFault.NoCoverage && cell.GridId is not null)
        {
            var here = new Place(
                cell.Id,
                "",
                "",
                cell.LatitudeDeg,
                cell.LongitudeDeg,
                DateTimeZone.Utc.Id
            );
            var found = await _nws!.ResolveAsync(here, askAgain: true, ct);
            if (found.GridId is null)
            {
                throw;
            }

            LogMoved(cell.Id, found.Id);
            _moved[cell.Id] = found;
            return await _nws.ForecastAsync(found, ct);
        }
    }

    private void ThrowIfUnresolved(WeatherCell cell)
    {
        if (cell.GridId is null && _unresolved.TryGetValue(cell.Id, out var why))
        {
            throw new WeatherSourceException(
                why.SourceId,
                why.CreditName,
                why.Fault,
                $"the grid of {cell.Id} could not be looked up: {why.Message}",
                why
            );
        }
    }

    private async Task<SourceHours> ObservationsAsync(
        WeatherCell cell,
        Instant from,
        Instant now,
        CancellationToken ct
    )
    {
        var observers = _nws is null ? [] : new IWeatherSource[] { _nws };
        var answer = await FirstAsync(
            DataSubject.Observations,
            observers,
            source =>
            {
                ThrowIfUnresolved(cell);
                return source.PastAsync(cell, WholeHour(from), WholeHour(now), ct);
            }
        );
        return answer with { Note = answer.Note with { Subject = DataSubject.Observations } };
    }

    /// <summary>Null when the kept hours lack nothing.</summary>
    private async Task<SourceHours?> HistoryAsync(
        WeatherCell cell,
        Instant? from,
        Instant now,
        CancellationToken ct
    ) =>
        from is { } start
            ? await FirstAsync(
                DataSubject.History,
                _historians,
                source => source.PastAsync(cell, start, WholeHour(now), ct)
            )
            : null;

    private async Task<(ImmutableArray<Hazard>, DataNote)> HazardsAsync(
        WeatherCell cell,
        CancellationToken ct
    )
    {
        if (_nws is null)
        {
            return ([], Missing(DataSubject.Hazards, "", "No source of warnings is switched on."));
        }

        try
        {
            var answer = await _nws.HazardsAsync(cell.LatitudeDeg, cell.LongitudeDeg, ct);
            return (answer.Hazards, answer.Note);
        }
        catch (Exception e) when (!ct.IsCancellationRequested)
        {
            return ([], Missing(DataSubject.Hazards, NameOf(e, _nws), ReasonOf(e, _nws)));
        }
    }

    /// <summary>The first source that answers; when none does, no hours and a note with each one's own reason.</summary>
    private async Task<SourceHours> FirstAsync(
        DataSubject subject,
        IReadOnlyList<IWeatherSource> sources,
        Func<IWeatherSource, Task<SourceHours>> ask
    )
    {
        var failures = new List<DataNote>();
        foreach (var source in sources)
        {
            try
            {
                return await ask(source);
            }
            catch (Exception e) when (!_closing.IsCancellationRequested)
            {
                failures.Add(Missing(subject, NameOf(e, source), ReasonOf(e, source)));
            }
        }

        return new(
            WeatherSeries.Empty,
            failures.Count switch
            {
                0 => Missing(subject, "", "No source for it is switched on."),
                1 => failures[0],
                _ => Missing(subject, "", string.Join(' ', failures.Select(f => f.Reason))),
            }
        );
    }

    private SourceHours WithKept(SourceHours live, WeatherSeries kept, Instant now)
    {
        var limit = Duration.FromTimeSpan(_options.Nws.ForecastTooOldAfter);
        if (live.Hours.Count > 0 || KeptHours.ForecastIssuedAt(kept, now, limit) is not { } issued)
        {
            return live;
        }

        return new(
            kept.Slice(now, now + Ahead),
            live.Note with
            {
                DataTime = issued,
                Standing = DataStanding.Stale,
                Reason = $"{live.Note.Reason} An earlier forecast is used.",
            }
        );
    }

    private static string NameOf(Exception e, IWeatherSource source) =>
        (e as WeatherSourceException)?.CreditName ?? source.CreditName;

    private string ReasonOf(Exception e, IWeatherSource source)
    {
        if (e is WeatherSourceException known)
        {
            LogFault(known.Message);
            return known.ReaderText;
        }

        LogUnexpected(e, source.Id);
        return $"{source.CreditName} sent an answer that could not be used.";
    }

    private static DataNote Missing(DataSubject subject, string source, string reason) =>
        new(subject, source, null, DataStanding.Missing, reason);

    private static Instant WholeHour(Instant instant) =>
        Instant.FromUnixTimeSeconds(instant.ToUnixTimeSeconds() / 3600 * 3600);

    private Instant Now() => Instant.FromDateTimeOffset(_time.GetUtcNow());

    [LoggerMessage(Level = LogLevel.Warning, Message = "{Fault}")]
    private partial void LogFault(string fault);

    [LoggerMessage(
        Level = LogLevel.Error,
        Message = "{Source} failed in a way that is ours to mend"
    )]
    private partial void LogUnexpected(Exception e, string source);

    [LoggerMessage(
        Level = LogLevel.Warning,
        Message = "The grid cell of {Zip} could not be looked up; it is tried again: {Reason}"
    )]
    private partial void LogUnresolved(string zip, string reason);

    [LoggerMessage(Level = LogLevel.Information, Message = "{Cell} has moved to {Found}")]
    private partial void LogMoved(string cell, string found);
}
