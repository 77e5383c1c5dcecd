using System.Diagnostics;
using System.Diagnostics.Metrics;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Web;
using TurfWatch.Store;

namespace TurfWatch.Host.Telemetry;

/// <summary>
/// What stands rather than happens: rows of the outbox, the oldest that is due, the age of the weather, the sweeps.
/// The outbox is asked now and then and not by whoever reads the metrics, so that reading them often costs it nothing.
/// </summary>
internal sealed partial class ServiceGauges : BackgroundService
{
    public const string Name = "TurfWatch.Standing";

    private static readonly TimeSpan Often = TimeSpan.FromSeconds(15);

    /// <summary>Asking a large outbox takes at most one part in this many of the time.</summary>
    private const int Share = 50;

    private readonly Meter _meter = new(Name);
    private readonly TurfStore _store;
    private readonly HealthBoard _health;
    private readonly TimeProvider _clock;
    private readonly ILogger<ServiceGauges> _log;
    private volatile Outbox? _outbox;
    private volatile object? _weatherSince;

    public ServiceGauges(
        TurfStore store,
        HealthBoard health,
        TimeProvider clock,
        ILogger<ServiceGauges> log
    )
    {
        (_store, _health, _clock, _log) = (store, health, clock, log);
        _meter.CreateObservableGauge(
            "turfwatch.outbox_rows",
            Rows,
            description: "Messages in the outbox by their state."
        );
        _meter.CreateObservableGauge(
            "turfwatch.outbox_oldest_due",
            OldestDue,
            "s",
            "How long the oldest message that is due has been waiting; 0 when none is."
        );
        _meter.CreateObservableGauge(
            "turfwatch.weather_data_age",
            WeatherAge,
            "s",
            "Since when the cell that was longest without new weather has had none."
        );
        _meter.CreateObservableGauge(
            "turfwatch.sweep_last_success_timestamp",
            Sweeps,
            "s",
            "When each sweep last did its work, in seconds since 1970."
        );
        _meter.CreateObservableGauge(
            "turfwatch.trouble",
            Troubles,
            description: "1 while something is wrong in an area, as /health/ready says."
        );
    }

    public override void Dispose()
    {
        _meter.Dispose();
        base.Dispose();
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        ServiceMeter.StandAtZero();
        while (!stoppingToken.IsCancellationRequested)
        {
            var started = Stopwatch.GetTimestamp();
            try
            {
                _outbox = new(
                    await _store.Outbox.CountAsync(stoppingToken),
                    await _store.Outbox.OldestDueAsync(stoppingToken)
                );
                _weatherSince = await _store.Fetches.OldestDataAsync(stoppingToken);
            }
            catch (StoreException e)
            {
                // Better no number than an old one.
                _outbox = null;
                _weatherSince = null;
                NotCounted(_log, e.Message);
            }
            catch (OperationCanceledException)
            {
                return;
            }

            var pause = Stopwatch.GetElapsedTime(started) * Share;
            await Task.Delay(pause > Often ? pause : Often, stoppingToken)
                .ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private IEnumerable<Measurement<int>> Rows() =>
        _outbox is { } outbox
            ? outbox.Rows.Select(r => new Measurement<int>(
                r.Value,
                new KeyValuePair<string, object?>("state", Words.Kebab(r.Key.ToString()))
            ))
            : [];

    private IEnumerable<Measurement<double>> OldestDue() =>
        _outbox switch
        {
            null => [],
            { Due: { } due } => [new(Math.Max(0, (Now() - due).TotalSeconds))],
            _ => [new(0)],
        };

    private IEnumerable<Measurement<double>> WeatherAge() =>
        _weatherSince is Instant since ? [new((Now() - since).TotalSeconds)] : [];

    private IEnumerable<Measurement<double>> Sweeps() =>
        _health
            .Successes()
            .Select(s => new Measurement<double>(
                s.At.ToUnixTimeMilliseconds() / 1000.0,
                new KeyValuePair<string, object?>("sweep", s.Job)
            ));

    private IEnumerable<Measurement<int>> Troubles()
    {
        var troubled = _health.Troubles().Select(t => t.Area).ToHashSet(StringComparer.Ordinal);
        return HealthAreas
            .All.Union(troubled, StringComparer.Ordinal)
            .Select(area => new Measurement<int>(
                troubled.Contains(area) ? 1 : 0,
                new KeyValuePair<string, object?>("area", area)
            ));
    }

    private Instant Now() => Instant.FromDateTimeOffset(_clock.GetUtcNow());

    [LoggerMessage(LogLevel.Debug, "The outbox could not be counted for the metrics: {Why}")]
    private static partial void NotCounted(ILogger log, string why);

    private sealed record Outbox(IReadOnlyDictionary<OutboxState, int> Rows, Instant? Due);
}
