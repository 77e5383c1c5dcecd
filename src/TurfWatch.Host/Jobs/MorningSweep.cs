using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Telemetry;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Works out the morning messages that come due within the lead time and writes them into the outbox.
/// The outbox's unique key makes running it twice, or in two places, harmless.
/// </summary>
/// <param name="store">Where lawns, journals and the outbox are.</param>
/// <param name="composer">Turns a briefing into a message.</param>
/// <param name="source">Gives a cell's weather.</param>
/// <param name="options">Lead and lateness.</param>
/// <param name="clock">The time.</param>
/// <param name="log">The log.</param>
public sealed partial class MorningSweep(
    TurfStore store,
    MessageComposer composer,
    ICellWeather source,
    JobsOptions options,
    TimeProvider clock,
    ILogger<MorningSweep> log
)
{
    /// <summary>How many mornings are held in memory at once, however many are due.</summary>
    internal const int Batch = 1000;

    /// <summary>Mornings that nobody made a message for are put on record as missed up to this long after.</summary>
    private static readonly Duration MissedBack = Duration.FromHours(36);

    /// <summary>A service that has just begun to ask the weather services gives them this long, if it waits at all.</summary>
    private static readonly Duration FirstAnswers = Duration.FromSeconds(30);

    private readonly Instant _since = Instant.FromDateTimeOffset(clock.GetUtcNow());

    /// <summary>Hears of each briefing that became a message; the demo's owners act on it.</summary>
    internal Action<DueMorning, Briefing>? Told { get; set; }

    public async Task RunAsync(CancellationToken cancel)
    {
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());
        if (await store.Outbox.HeldAsync(cancel) is { IsRestored: true })
        {
            // What another service sent after the backup is not known here; the release settles that first.
            return;
        }

        var late = Duration.FromTimeSpan(options.MorningLate);
        var batch = new List<DueMorning>(Batch);
        await foreach (
            var morning in store.Subscribers.DueMorningsAsync(
                now,
                Duration.FromTimeSpan(options.MorningLead),
                Duration.Max(late, MissedBack),
                cancel
            )
        )
        {
            if (morning.DueAt + late <= now)
            {
                await MissAsync(morning, late, cancel);
                continue;
            }

            batch.Add(morning);
            if (batch.Count == Batch)
            {
                await AssessAsync(batch, now, cancel);
                batch.Clear();
            }
        }

        await AssessAsync(batch, now, cancel);
    }

    private async Task MissAsync(DueMorning morning, Duration late, CancellationToken cancel)
    {
        await store.Outbox.RecordMissedAsync(
            morning,
            morning.DueAt + late,
            "no message was made while its window was open",
            cancel
        );
        ServiceMeter.Became(MessageKind.Morning, "missed");
        Missed(log, morning.Lawn.Id, morning.DueAt);
    }

    /// <summary>Works cell by cell, so that each cell's weather is read once and its physics run once for each kind of lawn in it.</summary>
    private async Task AssessAsync(List<DueMorning> batch, Instant now, CancellationToken cancel)
    {
        var cells = await store.Cells.FindByZipsAsync(batch.Select(d => d.Lawn.Place.Zip), cancel);
        var spread = MorningSpread.Of(options.MorningSpread, batch.Count);
        var groups = batch.GroupBy(
            d => cells[d.Lawn.Place.Zip]?.Id ?? "zip:" + d.Lawn.Place.Zip,
            StringComparer.Ordinal
        );
        await Parallel.ForEachAsync(
            groups,
            new ParallelOptions
            {
                // Twice the cores: while one cell waits for the disk, another is worked out. Whoever listens hears one after the other.
                MaxDegreeOfParallelism = Told is null ? 2 * Environment.ProcessorCount : 1,
                CancellationToken = cancel,
            },
            async (group, stop) =>
                await AssessCellAsync(
                    cells[group.First().Lawn.Place.Zip],
                    [.. group],
                    spread,
                    now,
                    stop
                )
        );
    }

    private async Task AssessCellAsync(
        WeatherCell? cell,
        IReadOnlyList<DueMorning> mornings,
        Duration spread,
        Instant now,
        CancellationToken cancel
    )
    {
        using var span = ServiceTraces.Start("assess", cell?.Id);
        span?.SetTag("turfwatch.lawns", mornings.Count);
        var weather = cell is null
            ? NoWeather.WithoutCell(now)
            : await source.OfAsync(cell, now, cancel);
        var ready = weather.Note(DataSubject.Forecast) is { Standing: not DataStanding.Missing }
            ? mornings
            : [.. mornings.Where(m => WaitedEnough(m.DueAt, now))];
        if (ready.Count == 0)
        {
            Waiting(log, cell?.Id ?? mornings[0].Lawn.Place.Zip, mornings.Count);
            return;
        }

        var states = new Dictionary<SurfaceClass, SiteState?>();
        var assess = new AssessMorning(
            cell,
            weather,
            now,
            surface => states.GetValueOrDefault(surface)
        );
        var messages = new List<OutboxMessage>();
        var journals = await store.Journal.LoadAsync([.. ready.Select(m => m.Lawn.Id)], cancel);
        foreach (var morning in ready)
        {
            try
            {
                if (cell is not null)
                {
                    await LoadStatesAsync(cell, morning.Lawn, states, cancel);
                }

                var briefing = assess.Brief(morning.Lawn, journals(morning.Lawn.Id), morning.Date);
                messages.Add(
                    composer.Compose(
                        briefing,
                        morning.Subscriber,
                        morning.Key,
                        morning.DueAt + MorningSpread.Delay(morning.Lawn.Id, spread),
                        morning.DueAt + Duration.FromTimeSpan(options.MorningLate)
                    )
                );
                Told?.Invoke(morning, briefing);
            }
            catch (Exception e) when (e is not (OperationCanceledException or StoreException))
            {
                // One lawn's defect must not cost the others their morning.
                Broken(log, morning.Lawn.Id, e);
            }
        }

        await CommitAsync(cell, messages, assess, cancel);
    }

    // A weather service that is away for a while may be back before the message is due, or soon after; and one that this
    // program has just begun to ask has had no time to answer.
    private bool WaitedEnough(Instant due, Instant now)
    {
        var wait = Duration.FromTimeSpan(options.MorningWait);
        return now >= due + wait && now >= _since + Duration.Min(wait, FirstAnswers);
    }

    private async Task LoadStatesAsync(
        WeatherCell cell,
        Lawn lawn,
        Dictionary<SurfaceClass, SiteState?> states,
        CancellationToken cancel
    )
    {
        foreach (var surface in AssessMorning.Candidates(lawn))
        {
            if (!states.ContainsKey(surface))
            {
                states[surface] = await StoredState.LoadAsync(store, cell.Id, surface, cancel);
            }
        }
    }

    private async Task CommitAsync(
        WeatherCell? cell,
        List<OutboxMessage> messages,
        AssessMorning assess,
        CancellationToken cancel
    )
    {
        using var span = ServiceTraces.Start("enqueue", cell?.Id);
        // The messages first: a state that is not kept costs a longer run tomorrow, nothing else.
        var made = await store.Outbox.EnqueueAsync(messages, cancel);
        if (cell is not null)
        {
            foreach (var (surface, state) in assess.NewStates)
            {
                await StoredState.SaveAsync(store, cell.Id, surface, state, cancel);
            }
        }

        span?.SetTag("turfwatch.messages", made);
        ServiceMeter.WasMade(MessageKind.Morning, made);
        Planned(log, cell?.Id ?? "no cell", made);
    }

    [LoggerMessage(LogLevel.Information, "{Count} morning messages written for {Cell}")]
    private static partial void Planned(ILogger log, string cell, int count);

    [LoggerMessage(LogLevel.Warning, "{Count} morning messages for {Cell} wait for a forecast")]
    private static partial void Waiting(ILogger log, string cell, int count);

    [LoggerMessage(LogLevel.Warning, "The morning of lawn {Lawn} due at {Due} was missed")]
    private static partial void Missed(ILogger log, long lawn, Instant due);

    [LoggerMessage(LogLevel.Error, "A defect showed for lawn {Lawn}; its message is not made")]
    private static partial void Broken(ILogger log, long lawn, Exception e);
}
