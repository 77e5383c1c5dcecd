using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.NasaPower;

/// <summary>
/// Hourly analyses up to some days ago. Asked month by month, so that closed months are one request
/// each that all cells around a grid point share and that is kept for a month.
/// </summary>
public sealed partial class NasaPowerSource : IWeatherSource
{
    public const string SourceId = "nasa-power";
    public const string Credit = "NASA POWER Project (NASA Langley Research Center)";

    private static readonly TimeSpan SettledFreshFor = TimeSpan.FromDays(30);
    private static readonly TimeSpan SettledKept = TimeSpan.FromDays(180);

    private readonly INasaPowerApi _api;
    private readonly NasaPowerOptions _options;
    private readonly TimeProvider _time;
    private readonly WeatherReader _reader;

    internal NasaPowerSource(INasaPowerApi api, NasaPowerOptions options, TimeProvider time)
    {
        _api = api;
        _options = options;
        _time = time;
        _reader = new(SourceId, Credit, time);
    }

    public string Id => SourceId;

    public string CreditName => Credit;

    /// <summary>POWER looks back only.</summary>
    public Task<SourceHours> ForecastAsync(WeatherCell cell, CancellationToken ct) =>
        throw _reader.Fault(WeatherFault.NoCoverage, "has no forecasts");

    public async Task<SourceHours> PastAsync(
        WeatherCell cell,
        Instant from,
        Instant to,
        CancellationToken ct
    )
    {
        // The current day is never there. A month is always asked for whole, or up to yesterday, whatever
        // the caller needs of it: so that all callers make the same request.
        var yesterday = Today().PlusDays(-1);
        var lastDay = LocalDate.Min(yesterday, to.InUtc().Date);
        var hours = WeatherSeries.Empty;
        string? staleReason = null;
        WeatherSourceException? failure = null;
        for (
            var month = from.InUtc().Date.With(DateAdjusters.StartOfMonth);
            month <= lastDay;
            month = month.PlusMonths(1)
        )
        {
            try
            {
                var (read, stale) = await MonthAsync(cell, month, yesterday, ct);
                hours = read.Over(hours);
                staleReason ??= stale;
            }
            catch (WeatherSourceException e)
            {
                failure ??= e;
                if (e.Fault is not WeatherFault.BadAnswer)
                {
                    break; // the next month would fare no better
                }
            }
        }

        hours = hours.Slice(from, to);
        if (LastKnown(hours) is not { } last)
        {
            throw failure
                ?? _reader.Fault(WeatherFault.BadAnswer, $"no air temperature from {from} to {to}");
        }

        var reason = failure?.ReaderText ?? staleReason;
        return new(
            hours,
            new(
                DataSubject.History,
                Credit,
                last,
                reason is null ? DataStanding.Fresh : DataStanding.Stale,
                reason
            )
        );
    }

    private async Task<(WeatherSeries Hours, string? StaleReason)> MonthAsync(
        WeatherCell cell,
        LocalDate month,
        LocalDate yesterday,
        CancellationToken ct
    )
    {
        var point = PowerCell.Of(cell);
        var end = LocalDate.Min(month.With(DateAdjusters.EndOfMonth), yesterday);
        var answer = await _reader.ReadAsync(
            () =>
                _api.HourlyAsync(
                    PowerColumn.Names,
                    point.LatitudeDeg,
                    point.LongitudeDeg,
                    Stamp(month),
                    Stamp(end),
                    _options.User,
                    RuleFor(end),
                    ct
                ),
            PowerJson.Default.PowerAnswer,
            ct
        );
        try
        {
            var hours = PowerHours.Read(
                answer.Body,
                StartOf(month) + Duration.FromHours(1),
                StartOf(end.PlusDays(1)),
                cell.ElevationM
            );
            return (
                hours,
                answer.Origin.StaleReason is null
                    ? null
                    : $"{Credit} could not be reached; an earlier answer is used."
            );
        }
        catch (FormatException e)
        {
            throw _reader.Fault(WeatherFault.BadAnswer, e.Message, e);
        }
    }

    private CacheRule RuleFor(LocalDate end)
    {
        var settled =
            StartOf(end.PlusDays(1)) + Duration.FromTimeSpan(_options.SettledAfter) <= Now();
        return settled
            ? new(SettledFreshFor, SettledFreshFor, SettledFreshFor, SettledKept)
            : new(
                _options.RecentFreshFor,
                _options.RecentFreshFor,
                _options.RecentFreshFor,
                _options.PastKept
            );
    }

    private static Instant? LastKnown(WeatherSeries hours)
    {
        var temperature = hours[WeatherColumn.AirTemperatureC];
        for (var i = hours.Count - 1; i >= 0; i--)
        {
            if (!double.IsNaN(temperature[i]))
            {
                return hours.HourEnd(i);
            }
        }

        return null;
    }

    private Instant Now() => Instant.FromDateTimeOffset(_time.GetUtcNow());

    private LocalDate Today() => Now().InUtc().Date;

    private static Instant StartOf(LocalDate day) => day.AtMidnight().InUtc().ToInstant();

    private static string Stamp(LocalDate day) => $"{day.Year:0000}{day.Month:00}{day.Day:00}";
}
