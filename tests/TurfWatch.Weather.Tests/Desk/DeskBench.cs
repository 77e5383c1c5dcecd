using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Http;
using TurfWatch.Weather.Tests.NasaPower;
using TurfWatch.Weather.Tests.OpenMeteo;
using WireMock.RequestBuilders;

namespace TurfWatch.Weather.Tests.Desk;

/// <summary>The desk with its three services stubbed by path; what is not stubbed is answered 404 by the server.</summary>
internal static class DeskBench
{
    public const double PowerTemperature = 12;
    public const double OpenMeteoTemperature = 19;

    public static WeatherCell Cell { get; } =
        SourceBench.Cell with
        {
            GridId = "EWX",
            GridX = 120,
            GridY = 52,
            StationIds = ["KAAA"],
        };

    public static Task<CellWeather> FetchAsync(
        this SourceBench bench,
        WeatherSeries? kept = null,
        WeatherCell? cell = null
    ) =>
        bench
            .Get<WeatherDesk>()
            .FetchAsync(
                cell ?? Cell,
                kept ?? WeatherSeries.Empty,
                Xunit.TestContext.Current.CancellationToken
            );

    /// <summary>POWER answers with constant weather up to <paramref name="lagDays"/> days ago.</summary>
    public static void PowerAnswers(SourceBench bench, int lagDays = 4)
    {
        var end = bench.Now - Duration.FromDays(lagDays);
        for (
            var month = new LocalDate(2025, 12, 1);
            month <= bench.Now.InUtc().Date;
            month = month.PlusMonths(1)
        )
        {
            var last = LocalDate.Min(
                month.With(DateAdjusters.EndOfMonth),
                bench.Now.InUtc().Date.PlusDays(-1)
            );
            bench
                .Server.Given(
                    Request
                        .Create()
                        .WithPath("/api/temporal/hourly/point")
                        .WithParam("start", month.ToString("uuuuMMdd", null))
                )
                .RespondWith(
                    SourceBench.Json(
                        PowerBody.Days(
                            month,
                            last,
                            (name, hour) =>
                                hour >= end ? -999
                                : name == "T2M" ? PowerTemperature
                                : PowerBody.Usual(name, hour)
                        )
                    )
                );
        }
    }

    public static void OpenMeteoAnswers(SourceBench bench) =>
        bench.Answer(
            "/v1/forecast",
            SourceBench.Json(
                OpenMeteoBody.Hourly(
                    bench.Now - Duration.FromDays(93),
                    24 * 100,
                    temperature: _ => "19.0"
                )
            )
        );

    /// <summary>Kept hours, every value given, from <paramref name="from"/> to <paramref name="to"/>.</summary>
    public static WeatherSeries Kept(
        Instant from,
        Instant to,
        HourKind kind,
        string source,
        double temperature,
        Instant? issuedAt = null
    )
    {
        var builder = new WeatherSeriesBuilder(from, (int)(to - from).TotalHours + 1);
        foreach (var column in Enum.GetValues<WeatherColumn>())
        {
            builder[column].Fill(column == WeatherColumn.AirTemperatureC ? temperature : 5);
        }

        builder.Origins.Fill(new(kind, source, issuedAt));
        return builder.Build();
    }

    public static double TemperatureAt(this CellWeather weather, Instant hourEnd) =>
        weather.Hours[WeatherColumn.AirTemperatureC][weather.Hours.IndexOf(hourEnd)];

    public static HourOrigin OriginAt(this CellWeather weather, Instant hourEnd) =>
        weather.Hours.Origins[weather.Hours.IndexOf(hourEnd)];

    public static void WithOpenMeteo(WeatherOptions options) => options.OpenMeteo.Enabled = true;
}
