using System.Collections.Concurrent;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather;

namespace TurfWatch.Host.Jobs;

/// <summary>
/// Fetches the climate of cells that have none, or one a year old: one cell at a time, beside the hourly
/// weather and never before a message. The first failure ends the sweep; its cell is left alone for a day.
/// </summary>
public sealed partial class ClimateSweep(
    TurfStore store,
    WeatherDesk desk,
    TimeProvider clock,
    ILogger<ClimateSweep> log
)
{
    /// <summary>How often it is looked for cells that lack one.</summary>
    public static readonly TimeSpan Every = TimeSpan.FromMinutes(5);

    private static readonly Duration Renewed = Duration.FromDays(365);
    private static readonly Duration Retried = Duration.FromDays(1);

    // Twenty years of days may take a slow service minutes; a worker that dies over it is not waited for longer.
    private static readonly Duration Begun = Duration.FromHours(1);

    /// <summary>What this worker has to say of the failures that it met.</summary>
    private readonly ConcurrentDictionary<string, DataNote> _failed = new(StringComparer.Ordinal);

    public async Task RunAsync(CancellationToken cancel)
    {
        if (!desk.HasClimate)
        {
            return;
        }

        var now = Now();
        foreach (var cell in await store.Climates.DueAsync(now - Renewed, cancel))
        {
            var key = "climate:" + cell.Id;
            if (!await store.Fetches.TryBeginAsync(key, now, now + Begun, cancel))
            {
                continue;
            }

            var (climate, years, note) = await desk.ClimateAsync(cell, cancel);
            if (climate is null || years is null)
            {
                _failed[cell.Id] = note;
                await store.Fetches.EndAsync(key, now + Retried, null, cancel);
                Failed(log, cell.Id, note.Reason ?? "no reason given");
                return;
            }

            await store.Climates.SaveAsync(cell.Id, climate, years, cancel);
            await store.Fetches.EndAsync(key, now, now, cancel);
            _failed.TryRemove(cell.Id, out _);
            Fetched(log, cell.Id, climate.FirstYear, climate.LastYear);
        }
    }

    /// <summary>The kept climate laid beside a cell's weather, with its note; the note alone when fetching it failed.</summary>
    public async Task<CellWeather> WithClimateAsync(
        string cellId,
        CellWeather weather,
        CancellationToken cancel
    )
    {
        if (await store.Climates.LoadAsync(cellId, cancel) is { Climate: var climate })
        {
            return weather.With(new ClimateAnswer(climate, null, WeatherDesk.ClimateNote));
        }

        return _failed.TryGetValue(cellId, out var note)
            ? weather.With(new ClimateAnswer(null, null, note))
            : weather;
    }

    private Instant Now() => Instant.FromDateTimeOffset(clock.GetUtcNow());

    [LoggerMessage(LogLevel.Information, "Climate of {Cell}: {First} to {Last}")]
    private static partial void Fetched(ILogger log, string cell, int first, int last);

    [LoggerMessage(
        LogLevel.Warning,
        "No climate for {Cell}: {Why} It is tried again in a day; messages go out without it"
    )]
    private static partial void Failed(ILogger log, string cell, string why);
}

internal static class ClimateAnswers
{
    public static CellWeather With(this CellWeather weather, ClimateAnswer answer) =>
        weather with
        {
            Climate = answer.Climate,
            Notes = [.. weather.Notes.Where(n => n.Subject != DataSubject.Climate), answer.Note],
        };
}
