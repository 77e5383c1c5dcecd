using System.Net;
using System.Net.Http.Headers;
using System.Text.Json;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;
using TurfWatch.Weather.NasaPower;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.OpenMeteo;

namespace TurfWatch.Fuzz.Targets;

/// <summary>
/// Answers of the weather services, by the sources' own doors: whatever a service says, there is weather that can be
/// true, or a <see cref="WeatherSourceException"/>.
/// </summary>
internal static class WeatherTargets
{
    private static readonly Instant Now = Instant.FromUtc(2026, 3, 1, 12, 0);
    private static readonly FixedClock Clock = new(Now);

    private static readonly WeatherCell Cell = new()
    {
        Id = "nws:GLD/100,50",
        LatitudeDeg = 40,
        LongitudeDeg = -100,
        ElevationM = 900,
        GridId = "GLD",
        GridX = 100,
        GridY = 50,
        StationIds = ["KGLD"],
        ResolvedAt = Now,
    };

    private static readonly Place Place = new(
        "69001",
        "Example",
        "NE",
        40,
        -100,
        "America/Chicago"
    );

    // The bounds of any weather: what is beyond them was not checked.
    private static readonly Dictionary<WeatherColumn, (double Least, double Most)> Possible = new()
    {
        [WeatherColumn.AirTemperatureC] = (-150, 150),
        [WeatherColumn.DewPointC] = (-160, 130),
        [WeatherColumn.RelativeHumidityPercent] = (0, 100),
        [WeatherColumn.CloudCoverPercent] = (0, 100),
        [WeatherColumn.PrecipitationProbabilityPercent] = (0, 100),
        [WeatherColumn.WindSpeedMS] = (0, 120),
        [WeatherColumn.WindGustMS] = (0, 120),
        [WeatherColumn.PrecipitationMm] = (0, 400),
        [WeatherColumn.ShortwaveWM2] = (0, 1500),
        [WeatherColumn.LongwaveDownWM2] = (0, 700),
    };

    public static IEnumerable<FuzzTarget> Make()
    {
        yield return Target(
            "nws-points",
            async body =>
            {
                var cell = await Nws(body).ResolveAsync(Place);
                Promise.Holds(
                    cell.ElevationM is null or (>= -500 and <= 9000),
                    "a height that is none"
                );
                Promise.Holds(cell.Id.Length <= 40, "a name of a cell without an end to it");
            }
        );
        yield return Target(
            "nws-gridpoint",
            async body => Check((await Nws(body).ForecastAsync(Cell, default)).Hours)
        );
        yield return Target(
            "nws-observations",
            async body =>
                Check(
                    (
                        await Nws(body).PastAsync(Cell, Now - Duration.FromDays(3), Now, default)
                    ).Hours
                )
        );
        yield return Target(
            "nws-alerts",
            async body =>
            {
                foreach (var hazard in (await Nws(body).HazardsAsync(40, -100, default)).Hazards)
                {
                    Text(hazard.Event);
                    Text(hazard.Severity);
                    Text(hazard.Sender);
                }
            }
        );
        yield return Target(
            "power-hourly",
            async body =>
                Check(
                    (
                        await Power(body)
                            .PastAsync(
                                Cell,
                                Instant.FromUtc(2026, 2, 1, 1, 0),
                                Instant.FromUtc(2026, 2, 20, 0, 0),
                                default
                            )
                    ).Hours
                )
        );
        yield return new("power-daily", Days, typeof(JsonException), typeof(FormatException))
        {
            IsJson = true,
            Words = ["T2M", "T2M_MAX", "fill_value", "LST", "units"],
        };
        yield return Target(
            "open-meteo",
            async body =>
            {
                var source = new OpenMeteoSource(new Answers(body), new OpenMeteoOptions(), Clock);
                Check((await source.ForecastAsync(Cell, default)).Hours);
            }
        );
        yield return Target(
            "error-answers",
            async body =>
            {
                var source = new NwsSource(
                    new Answers(body, HttpStatusCode.NotFound),
                    new NwsOptions(),
                    Clock,
                    NullLogger<NwsSource>.Instance
                );
                await source.ForecastAsync(Cell, default);
            }
        ) with
        {
            RefusesAll = true,
        };
    }

    private static FuzzTarget Target(string name, Func<byte[], Task> run) =>
        new(
            name,
            body =>
            {
                try
                {
                    run(body).GetAwaiter().GetResult();
                }
                catch (WeatherSourceException e)
                {
                    // Both are written to logs.
                    Promise.Holds(
                        e.Message.Length <= 1000,
                        "an operator's text without an end to it"
                    );
                    Line(e.Message, "an operator's text");
                    throw;
                }
            },
            typeof(WeatherSourceException)
        )
        {
            IsJson = true,
            Words =
            [
                "wmoUnit:degC",
                "unit:m_s-1",
                "wmoUnit:m",
                "PT1H",
                "P7DT6H",
                "T2M",
                "fill_value",
                "features",
            ],
        };

    // A climate needs twenty years of days; what is read of them is tried here.
    private static void Days(byte[] body)
    {
        var answer = JsonSerializer.Deserialize(body, PowerJson.Default.PowerAnswer);
        if (answer is null)
        {
            return;
        }

        foreach (var day in PowerDays.Read(answer, Cell.ElevationM))
        {
            foreach (var celsius in new[] { day.MeanC, day.MinC, day.MaxC, day.DewPointC })
            {
                Promise.Holds(
                    double.IsNaN(celsius) || Math.Abs(celsius) <= 160,
                    "a temperature beyond any weather"
                );
            }

            Promise.Holds(
                day.RainMm is double.NaN or (>= 0 and <= 2000),
                "rain beyond any weather"
            );
        }
    }

    private static NwsSource Nws(byte[] body) =>
        new(new Answers(body), new NwsOptions(), Clock, NullLogger<NwsSource>.Instance);

    private static NasaPowerSource Power(byte[] body) =>
        new(new Answers(body), new NasaPowerOptions(), Clock);

    private static void Check(WeatherSeries hours)
    {
        Promise.Holds(hours.Count <= 24 * 125, $"{hours.Count} hours");
        foreach (var (column, (least, most)) in Possible)
        {
            foreach (var value in hours[column])
            {
                Promise.Holds(
                    double.IsNaN(value) || (value >= least && value <= most),
                    $"{column} beyond any weather"
                );
            }
        }
    }

    // Shown to readers and written to logs.
    private static void Text(string text)
    {
        Promise.Holds(text.Length <= 200, "a text without an end to it");
        Line(text, "a text");
    }

    private static void Line(string text, string what) =>
        Promise.Holds(!text.Any(char.IsControl), $"{what} with control characters");

    private sealed class Answers(byte[] body, HttpStatusCode status = HttpStatusCode.OK)
        : INwsApi,
            INasaPowerApi,
            IOpenMeteoApi
    {
        public Task<HttpResponseMessage> PointAsync(
            string latitude,
            string longitude,
            CacheRule rule,
            CancellationToken ct
        ) => Answer();

        public Task<HttpResponseMessage> GridpointAsync(
            string office,
            int x,
            int y,
            CacheRule rule,
            CancellationToken ct
        ) => Answer(office);

        public Task<HttpResponseMessage> StationsAsync(
            string office,
            int x,
            int y,
            int limit,
            CacheRule rule,
            CancellationToken ct
        ) => Answer(office);

        public Task<HttpResponseMessage> ObservationsAsync(
            string station,
            int limit,
            string? cursor,
            CacheRule rule,
            CancellationToken ct
        ) => Answer(station);

        public Task<HttpResponseMessage> ActiveAlertsAsync(
            string point,
            string status1,
            CacheRule rule,
            CancellationToken ct
        ) => Answer();

        public Task<HttpResponseMessage> HourlyAsync(
            string parameters,
            double latitude,
            double longitude,
            string start,
            string end,
            string user,
            CacheRule rule,
            CancellationToken ct
        ) => Answer();

        public Task<HttpResponseMessage> DailyAsync(
            string parameters,
            double latitude,
            double longitude,
            string start,
            string end,
            string user,
            CacheRule rule,
            CancellationToken ct
        ) => Answer();

        public Task<HttpResponseMessage> HourlyAsync(
            double latitude,
            double longitude,
            string hourly,
            int pastDays,
            int forecastDays,
            CacheRule rule,
            CancellationToken ct
        ) => Answer();

        // What a service names goes into the address of the next request.
        private Task<HttpResponseMessage> Answer(string named = "X")
        {
            Promise.Holds(
                named.Length is > 0 and <= 20 && named.All(char.IsAsciiLetterOrDigit),
                "a name that does not belong into an address"
            );
            return Task.FromResult(
                new HttpResponseMessage(status)
                {
                    RequestMessage = new(HttpMethod.Get, "https://api.example.org/x"),
                    Content = new ByteArrayContent(body)
                    {
                        Headers = { ContentType = new MediaTypeHeaderValue("application/json") },
                    },
                }
            );
        }
    }
}

/// <summary>A clock that stands.</summary>
internal sealed class FixedClock(Instant now) : TimeProvider
{
    public override DateTimeOffset GetUtcNow() => now.ToDateTimeOffset();
}
