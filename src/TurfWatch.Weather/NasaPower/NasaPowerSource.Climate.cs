using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;

namespace TurfWatch.Weather.NasaPower;

/// <content>The climate, from the daily analyses of twenty years.</content>
public sealed partial class NasaPowerSource
{
    private const int ClimateYears = 20;
    private const int YearsPerRequest = 5;

    private static readonly TimeSpan ClimateFreshFor = TimeSpan.FromDays(365);
    private static readonly TimeSpan ClimateKept = TimeSpan.FromDays(730);

    /// <summary>The twenty full years around the cell before the current one, and what is usual in them.</summary>
    /// <exception cref="WeatherSourceException">A request failed, or too few days are known; what was answered is not asked again.</exception>
    public async Task<(PlaceClimate Climate, PastYears Years)> ClimateAsync(
        WeatherCell cell,
        CancellationToken ct
    )
    {
        var thisYear = Today().Year;
        var days = new List<ClimateDay>(ClimateYears * 366);
        for (var year = thisYear - ClimateYears; year < thisYear; year += YearsPerRequest)
        {
            days.AddRange(
                await DaysAsync(
                    cell,
                    new LocalDate(year, 1, 1),
                    new LocalDate(year + YearsPerRequest - 1, 12, 31),
                    ct
                )
            );
        }

        var climate =
            PlaceClimateBuilder.Build(days)
            ?? throw _reader.Fault(
                WeatherFault.BadAnswer,
                $"fewer than {PlaceClimateBuilder.FewestYears} years of daily temperatures from {thisYear - ClimateYears} to {thisYear - 1}"
            );
        return (climate, WithoutHoles(days));
    }

    private static PastYears WithoutHoles(List<ClimateDay> days)
    {
        var known = days.ToDictionary(d => d.Date);
        var (first, last) = (known.Keys.Min(), known.Keys.Max());
        return new([
            .. Enumerable
                .Range(0, Period.DaysBetween(first, last) + 1)
                .Select(first.PlusDays)
                .Select(date =>
                    known.TryGetValue(date, out var day)
                        ? day
                        : new ClimateDay(date, double.NaN, double.NaN, double.NaN, double.NaN)
                ),
        ]);
    }

    private async Task<IEnumerable<ClimateDay>> DaysAsync(
        WeatherCell cell,
        LocalDate first,
        LocalDate last,
        CancellationToken ct
    )
    {
        var point = PowerCell.Of(cell);
        var answer = await _reader.ReadAsync(
            () =>
                _api.DailyAsync(
                    PowerDays.Names,
                    point.LatitudeDeg,
                    point.LongitudeDeg,
                    Stamp(first),
                    Stamp(last),
                    _options.User,
                    new(ClimateFreshFor, ClimateFreshFor, ClimateFreshFor, ClimateKept),
                    ct
                ),
            PowerJson.Default.PowerAnswer,
            ct
        );
        try
        {
            return PowerDays
                .Read(answer.Body, cell.ElevationM)
                .Where(d => d.Date >= first && d.Date <= last);
        }
        catch (FormatException e)
        {
            throw _reader.Fault(WeatherFault.BadAnswer, e.Message, e);
        }
    }
}
