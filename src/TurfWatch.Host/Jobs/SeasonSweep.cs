using System.Collections.Immutable;
using System.Runtime.InteropServices;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Advice.Digest;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Telemetry;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Works out, once a local day and lawn, the alerts of the season's windows and the weekly digest, and writes them into
/// the outbox together with the mark that the day is planned. A day whose mark is missing is worked out again, and the
/// outbox's keys keep what is there already from being sent twice.
/// </summary>
/// <param name="store">Where lawns, journals, past years and the outbox are.</param>
/// <param name="composer">Turns alerts and digests into messages.</param>
/// <param name="source">Gives a cell's weather.</param>
/// <param name="options">When, how many, how late.</param>
/// <param name="clock">The time.</param>
/// <param name="log">The log.</param>
public sealed partial class SeasonSweep(
    TurfStore store,
    MessageComposer composer,
    ICellWeather source,
    JobsOptions options,
    TimeProvider clock,
    ILogger<SeasonSweep> log
)
{
    private const int Batch = 500;

    // Outlooks are shared over the morning by lawns whose messages are due at other times.
    private const int MostOutlooks = 200;

    /// <summary>A morning that was not planned within this, the service being down, is left to the next one.</summary>
    private static readonly Duration PlannedWithin = Duration.FromHours(12);

    private static readonly Duration RetryAfter = Duration.FromHours(1);

    private readonly Dictionary<string, Dictionary<SurfaceClass, SeasonOutlook>> _outlooks = new(
        StringComparer.Ordinal
    );
    private readonly Dictionary<long, Instant> _broken = [];

    /// <summary>Hears of each season that was worked out; the demo's owners act on it.</summary>
    internal Action<SeasonTold>? Told { get; set; }

    /// <summary>Judges the windows; a test says what they are.</summary>
    internal Func<LawnYear, ImmutableArray<SeasonWindow>> Calendar { get; init; } =
        SeasonCalendar.Of;

    public async Task RunAsync(CancellationToken cancel)
    {
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        if (await store.Outbox.HeldAsync(cancel) is { IsRestored: true })
        {
            // What another service sent after the backup is not known here; the release settles that first.
            return;
        }

        var batch = new List<SeasonWork>(Batch);
        await foreach (
            var season in store.SeasonPlans.DueAsync(
                now - Duration.FromTimeSpan(options.SeasonAfter),
                cancel
            )
        )
        {
            if (
                season.DueAt + PlannedWithin < now
                || (_broken.TryGetValue(season.Lawn.Id, out var retry) && now < retry)
            )
            {
                continue;
            }

            var work = await WorkAsync(season, cancel);
            if (work.IsEmpty)
            {
                await store.SeasonPlans.CommitAsync(season, [], cancel);
                continue;
            }

            batch.Add(work);
            if (batch.Count == Batch)
            {
                await PlanAsync(batch, now, cancel);
                batch.Clear();
            }
        }

        await PlanAsync(batch, now, cancel);
    }

    /// <summary>What is wanted of a lawn on a day.</summary>
    private async Task<SeasonWork> WorkAsync(DueSeason season, CancellationToken cancel)
    {
        if (DigestDay.Of(season, options) is not { } date)
        {
            return new(season, null);
        }

        var key = DigestDay.KeyOf(date, season.Lawn.Id);
        var sent = await store.Outbox.FindAsync(
            season.Subscriber.Id,
            MessageKind.Digest,
            key,
            cancel
        );
        return new(season, sent is null ? date : null);
    }

    /// <summary>Works cell by cell, so that each cell's weather and past years are read once.</summary>
    private async Task PlanAsync(List<SeasonWork> batch, Instant now, CancellationToken cancel)
    {
        var cells = await store.Cells.FindByZipsAsync(
            batch.Select(w => w.Season.Lawn.Place.Zip),
            cancel
        );
        var spread = MorningSpread.Of(options.MorningSpread, batch.Count);
        foreach (
            var group in batch.GroupBy(
                w => cells[w.Season.Lawn.Place.Zip]?.Id ?? "zip:" + w.Season.Lawn.Place.Zip,
                StringComparer.Ordinal
            )
        )
        {
            await PlanCellAsync(
                cells[group.First().Season.Lawn.Place.Zip],
                [.. group],
                spread,
                now,
                cancel
            );
        }
    }

    private async Task PlanCellAsync(
        WeatherCell? cell,
        IReadOnlyList<SeasonWork> works,
        Duration spread,
        Instant now,
        CancellationToken cancel
    )
    {
        using var span = ServiceTraces.Start("assess season", cell?.Id);
        span?.SetTag("turfwatch.lawns", works.Count);
        var weather = cell is null
            ? NoWeather.WithoutCell(now)
            : await source.OfAsync(cell, now, cancel);
        var foretold = weather.Note(DataSubject.Forecast) is { Standing: not DataStanding.Missing };
        var patience = now - Duration.FromTimeSpan(options.SeasonAfter + options.MorningWait);
        var ready = foretold ? works : [.. works.Where(w => w.Season.DueAt <= patience)];
        if (ready.Count == 0)
        {
            return;
        }

        var years = cell is null ? null : await store.Climates.LoadYearsAsync(cell.Id, cancel);
        var kept = new KeptSurfaces(store, cell, years);
        var morning = new AssessMorning(cell, weather, now, kept.State);
        // What was made without a forecast is not gone on from.
        var outlooks = foretold && cell is not null ? OutlooksOf(cell.Id) : [];
        var assess = new AssessSeason(morning, years?.Years, kept.Season, outlooks);
        foreach (var work in ready)
        {
            try
            {
                await kept.LoadAsync(work.Season.Lawn, cancel);
                await PlanLawnAsync(work, assess, spread, cancel);
                _broken.Remove(work.Season.Lawn.Id);
            }
            catch (Exception e) when (e is not (OperationCanceledException or StoreException))
            {
                // One lawn's defect must not cost the others their season.
                _broken[work.Season.Lawn.Id] = now + RetryAfter;
                Broken(log, work.Season.Lawn.Id, e);
            }
        }

        if (cell is not null)
        {
            await KeepAsync(cell, assess, years, cancel);
        }
    }

    private async Task PlanLawnAsync(
        SeasonWork work,
        AssessSeason assess,
        Duration spread,
        CancellationToken cancel
    )
    {
        var (season, digestDate) = work;
        var lawn = season.Lawn;
        var record = await store.Journal.LoadAsync(lawn.Id, cancel);
        var year = assess.Year(lawn, record, season.Date);
        var windows = Calendar(year);
        var notBefore =
            season.DueAt
            + Duration.FromTimeSpan(options.SeasonAfter)
            + MorningSpread.Delay(lawn.Id, spread);

        var told = new List<MessageContent>();
        var messages = new List<OutboxMessage>();
        if (lawn.Alerts)
        {
            var known = await store.SeasonPlans.AlertKeysAsync(
                season.Subscriber.Id,
                lawn.Id,
                cancel
            );
            var notAfter = season.DueAt + Duration.FromTimeSpan(options.AlertLate);
            foreach (
                var alert in SeasonAlerts
                    .Of(year, windows)
                    .Where(a => !known.Contains(a.Key))
                    .Where(a => a.Follows.IsEmpty || a.Follows.Any(known.Contains))
                    .Take(options.AlertsPerDay)
            )
            {
                messages.Add(
                    composer.Compose(alert, season.Subscriber, alert.Key, notBefore, notAfter)
                );
                told.Add(alert);
            }
        }

        if (digestDate is { } date)
        {
            var digest = WeeklyDigest.Build(year, windows);
            messages.Add(
                composer.Compose(
                    digest,
                    season.Subscriber,
                    DigestDay.KeyOf(date, lawn.Id),
                    notBefore,
                    DigestDay.DueAt(date, lawn) + Duration.FromTimeSpan(options.DigestLate)
                )
            );
            told.Add(digest);
        }

        if (await store.SeasonPlans.CommitAsync(season, messages, cancel) is { } made)
        {
            foreach (var kind in messages.Take(made).GroupBy(m => m.Kind))
            {
                ServiceMeter.WasMade(kind.Key, kind.Count());
            }

            Planned(log, lawn.Id, season.Date, made);
            Told?.Invoke(new(year, windows, [.. told.Zip(messages)]));
        }
    }

    private Dictionary<SurfaceClass, SeasonOutlook> OutlooksOf(string cellId)
    {
        if (_outlooks.Count >= MostOutlooks)
        {
            _outlooks.Clear();
        }

        return CollectionsMarshal.GetValueRefOrAddDefault(_outlooks, cellId, out _) ??= [];
    }

    private async Task KeepAsync(
        WeatherCell cell,
        AssessSeason assess,
        StoredYears? years,
        CancellationToken cancel
    )
    {
        foreach (var (surface, days) in assess.NewDays)
        {
            await store.YearDays.SaveAsync(cell.Id, surface, days, cancel);
        }

        foreach (var (surface, days) in assess.NewSoils)
        {
            await store.PastSoils.SaveAsync(
                cell.Id,
                surface,
                years!.FetchedAt,
                KeptSurfaces.Physics,
                days,
                cancel
            );
        }
    }

    [LoggerMessage(LogLevel.Information, "Season of lawn {Lawn} for {Date}: {Count} messages")]
    private static partial void Planned(ILogger log, long lawn, LocalDate date, int count);

    [LoggerMessage(
        LogLevel.Error,
        "A defect showed in the season of lawn {Lawn}; it is tried again in an hour"
    )]
    private static partial void Broken(ILogger log, long lawn, Exception e);

    /// <param name="Season">The lawn and its date.</param>
    /// <param name="DigestDate">The day of the digest that is owed; null when none is.</param>
    private sealed record SeasonWork(DueSeason Season, LocalDate? DigestDate)
    {
        public bool IsEmpty => !Season.Lawn.Alerts && DigestDate is null;
    }
}

/// <summary>What the season of a lawn gave on a day.</summary>
internal sealed record SeasonTold(
    LawnYear Year,
    ImmutableArray<SeasonWindow> Windows,
    IReadOnlyList<(MessageContent Content, OutboxMessage Message)> Messages
);
