using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Physics;

namespace TurfWatch.Host.Hindcast;

/// <summary>One date foretold and the date that was.</summary>
/// <param name="Year">The year.</param>
/// <param name="Measured">First day on which the five-day mean of the measured soil was below.</param>
/// <param name="Spread">What the outlook said.</param>
internal sealed record SkillCase(int Year, LocalDate Measured, DateSpread Spread);

/// <summary>
/// Foretells dates of soil temperature in each year of a station as if it were unknown: the other years are the past
/// years, the year's own weather is known up to the day of the forecast, and for a week beyond it with made errors.
/// </summary>
internal sealed class SeasonSkill
{
    public static readonly int[] Leads = [30, 14, 7, 0];

    // A month of missing days, and the true date may lie in one.
    private const int MostMissing = 30;
    private const int MeanDays = 5;
    private const int SpinUpDays = 200;
    private const int ForecastHours = 7 * 24;
    private const int Seed = 20261125;

    // Errors of the weather foretold fade with this from hour to hour: two days, as weather does (judgement).
    private static readonly double HourToHour = Math.Exp(-1 / 48.0);

    private readonly Station _station;
    private readonly WeatherSeries _weather;
    private readonly DateTimeZone _zone;
    private readonly SiteDays _measured;
    private readonly SiteDays _pastSoil;

    public SeasonSkill(Station station, WeatherSeries weather, MeasuredColumns measured)
    {
        _station = station;
        _weather = weather;
        _zone = StationDays.Zone(station);
        var run = HindcastRun.Run((station, weather));
        Modelled = SiteDaysOf.Conditions(run, _zone);
        Years = StationDays.Weather(station, weather, Modelled, _zone);
        _measured = SiteDays.Unknown(Modelled.First, Modelled.Count) with
        {
            Soil10CmC = StationDays.Mean(weather.FirstHourEnd, measured.Soil10C, Modelled, _zone),
        };
        _pastSoil = PastSoil.Run(station.Site, station.Surface, _zone, Years);
        FromDaily = SiteDaysOf.Conditions(
            HindcastRun.Run(
                (
                    station,
                    HourlyFromDaily.Make(
                        station.Site.LatitudeDeg,
                        station.Site.LongitudeDeg,
                        _zone,
                        Years.Days
                    )
                )
            ),
            _zone
        );
    }

    /// <summary>What the physics makes of the measured hours.</summary>
    public SiteDays Modelled { get; }

    /// <summary>What was measured of the soil.</summary>
    public SiteDays Measured => _measured;

    /// <summary>What the physics makes of the days' figures alone.</summary>
    public SiteDays FromDaily { get; }

    /// <summary>The station's daily weather.</summary>
    public PastYears Years { get; }

    /// <summary>Dates on which measured soil fell below a temperature, by year, between August and March.</summary>
    public SortedDictionary<int, LocalDate> Dates(double celsius)
    {
        var dates = new SortedDictionary<int, LocalDate>();
        for (var year = _measured.First.Year; year <= _measured.End.Year; year++)
        {
            var missing = 0;
            var from = _measured.IndexOf(From(year));
            var until = Math.Min(_measured.Count - 1, _measured.IndexOf(Until(year)));
            for (var i = from; i <= until && from >= 0; i++)
            {
                var mean = FirstDay.SoilMeanC(_measured, i, MeanDays);
                missing += double.IsNaN(mean) ? 1 : 0;
                if (mean < celsius)
                {
                    if (missing < MostMissing && i > from)
                    {
                        dates[year] = _measured.Date(i);
                    }

                    break;
                }
            }
        }

        return dates;
    }

    /// <summary>
    /// What the outlook of <paramref name="leadDays"/> before each date says of it, with a week's forecast or without.
    /// </summary>
    public IReadOnlyList<SkillCase> Foretell(
        double celsius,
        SortedDictionary<int, LocalDate> dates,
        int leadDays,
        bool forecast = true
    )
    {
        var cases = new List<SkillCase>();
        foreach (var (year, date) in dates)
        {
            var today = date.PlusDays(-leadDays);
            var now = _zone.AtStartOfDay(today).ToInstant();
            var known = Forecast(
                _weather.Slice(
                    now - Duration.FromDays(SpinUpDays),
                    now + Duration.FromHours(forecast ? ForecastHours : 0)
                ),
                now,
                new Random(Seed + year + leadDays)
            );
            var run = SiteModel.Run(
                _station.Site,
                _station.Surface,
                known,
                now,
                cover: _station.Cover
            );
            var outlook = Outlook(year, today, run.StateToKeep, known);
            cases.Add(new(year, date, Date(outlook, year, celsius)));
        }

        return cases;
    }

    /// <summary>What past years alone say of each date.</summary>
    public IReadOnlyList<SkillCase> ClimateAlone(
        double celsius,
        SortedDictionary<int, LocalDate> dates
    ) =>
        [
            .. dates.Select(d => new SkillCase(
                d.Key,
                d.Value,
                Date(Outlook(d.Key, From(d.Key), null, WeatherSeries.Empty), d.Key, celsius)
            )),
        ];

    private static LocalDate From(int year) => new(year, 8, 1);

    private static LocalDate Until(int year) => new(year + 1, 3, 31);

    private static DateSpread Date(SeasonOutlook outlook, int year, double celsius) =>
        FirstDay.SoilMeanBelow(outlook, From(year), Until(year), celsius, MeanDays);

    private SeasonOutlook Outlook(int year, LocalDate today, SiteState? state, WeatherSeries known)
    {
        var (hidden, end) = (new LocalDate(year, 7, 1), new LocalDate(year + 1, 7, 1));
        return OutlookMaker.Make(
            _station.Site,
            _station.Surface,
            _zone,
            today,
            state is null ? SiteDays.Unknown(today, 0) : Modelled.Slice(Modelled.First, today),
            state,
            known,
            StationDays.Hide(Years, hidden, end),
            StationDays.Hide(_pastSoil, hidden, end)
        );
    }

    private static WeatherSeries Forecast(WeatherSeries known, Instant now, Random random)
    {
        var builder = new WeatherSeriesBuilder(known.FirstHourEnd, known.Count, known.WindHeightM);
        builder.Lay(known);
        var first = known.IndexOf(now + Duration.FromSeconds(1));
        var fresh = Math.Sqrt(1 - (HourToHour * HourToHour));
        var error = Normal();
        for (var i = Math.Max(0, first); i < known.Count; i++)
        {
            error = (HourToHour * error) + (fresh * Normal());
            builder[WeatherColumn.AirTemperatureC][i] +=
                1.1 * Math.Sqrt(1 + ((i - first) / 48.0)) * error;
            builder.Origins[i] = new HourOrigin(HourKind.Forecast, "made", null);
        }

        return builder.Build();

        double Normal() =>
            Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()))
            * Math.Cos(2 * Math.PI * random.NextDouble());
    }
}
