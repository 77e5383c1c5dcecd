using System.Web;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.OpenMeteo;
using Xunit;

namespace TurfWatch.Weather.Tests.OpenMeteo;

public sealed class OpenMeteoSourceTests
{
    private const string Path = "/v1/forecast";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_asks_in_GMT_Unix_time_and_metres_per_second()
    {
        await using var bench = On();
        bench.Answer(Path, SourceBench.Json(Body(bench)));

        var forecast = await bench.Get<OpenMeteoSource>().ForecastAsync(SourceBench.Cell, Ct);

        var query = HttpUtility.ParseQueryString(Assert.Single(bench.Asked).Query);
        Assert.Equal("GMT", query["timezone"]);
        Assert.Equal("unixtime", query["timeformat"]);
        Assert.Equal("ms", query["wind_speed_unit"]);
        Assert.Equal("29.42", query["latitude"]);
        Assert.Equal("-98.49", query["longitude"]);
        Assert.Equal("1", query["past_days"]);
        Assert.Null(query["apikey"]);
        Assert.Equal("Weather data by Open-Meteo.com", forecast.Note.SourceName);
        Assert.Equal(DataStanding.Fresh, forecast.Note.Standing);
        Assert.Equal(bench.Now, forecast.Note.DataTime);
    }

    [Theory]
    [InlineData(30, "31")]
    [InlineData(92, "92")]
    [InlineData(200, "92")]
    public async Task History_is_asked_for_by_past_days_up_to_their_limit(int days, string asked)
    {
        await using var bench = On();
        bench.Answer(Path, SourceBench.Json(Body(bench)));

        var past = await bench
            .Get<OpenMeteoSource>()
            .PastAsync(SourceBench.Cell, bench.Now - Duration.FromDays(days), bench.Now, Ct);

        Assert.Equal(asked, HttpUtility.ParseQueryString(bench.Asked[0].Query)["past_days"]);
        Assert.Equal(bench.Now, past.Hours.LastHourEnd);
        Assert.Equal(DataSubject.History, past.Note.Subject);
    }

    [Fact]
    public async Task The_key_is_sent_and_is_neither_kept_nor_told()
    {
        await using var bench = On(o => o.ApiKey = "s3cr3tKey");
        bench.Answer(Path, SourceBench.Json(Body(bench)));

        await bench.Get<OpenMeteoSource>().ForecastAsync(SourceBench.Cell, Ct);

        Assert.Equal("s3cr3tKey", HttpUtility.ParseQueryString(bench.Asked[0].Query)["apikey"]);
        var kept = Directory.GetFiles(bench.Folder, "*", SearchOption.AllDirectories);
        Assert.NotEmpty(kept);
        Assert.All(
            kept,
            f => Assert.DoesNotContain("s3cr3tKey", File.ReadAllText(f), StringComparison.Ordinal)
        );
    }

    [Fact]
    public async Task The_key_is_added_once_to_each_try()
    {
        await using var bench = On(o =>
        {
            o.ApiKey = "k1";
            o.Retries = 1;
            o.RetryDelay = TimeSpan.Zero;
        });
        bench.Answer(Path, SourceBench.Error(502, "<html></html>", "text/html"));

        await Assert.ThrowsAsync<WeatherSourceException>(() =>
            bench.Get<OpenMeteoSource>().ForecastAsync(SourceBench.Cell, Ct)
        );

        Assert.Equal(2, bench.Asked.Count);
        Assert.All(
            bench.Asked,
            u => Assert.Equal("k1", HttpUtility.ParseQueryString(u.Query)["apikey"])
        );
    }

    [Theory]
    [InlineData(
        400,
        "Past days is invalid. Allowed range 0 to 92. Given 93.",
        WeatherFault.Refused
    )]
    [InlineData(
        429,
        "Daily API request limit exceeded. Please try again tomorrow.",
        WeatherFault.RateLimited
    )]
    [InlineData(503, "The service is overloaded", WeatherFault.Unreachable)]
    [InlineData(500, "Something went wrong.", WeatherFault.Unreachable)]
    public async Task Errors_are_told_apart_and_their_reason_is_kept_for_the_operator(
        int status,
        string reason,
        WeatherFault fault
    )
    {
        await using var bench = On();
        bench.Answer(Path, SourceBench.Error(status, $$"""{"reason":"{{reason}}","error":true}"""));

        var thrown = await Fails(bench);

        Assert.Equal(fault, thrown.Fault);
        Assert.Contains(reason, thrown.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(reason, thrown.ReaderText, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_gateway_page_is_unreachable()
    {
        await using var bench = On();
        bench.Answer(Path, SourceBench.Error(504, "<html></html>", "text/html"));

        Assert.Equal(WeatherFault.Unreachable, (await Fails(bench)).Fault);
    }

    [Theory]
    [InlineData("""[{"latitude":1},{"latitude":2,"location_id":1}]""")] // several places: an array
    [InlineData("""{"error":true,"reason":"No data is available for this location"}""")]
    [InlineData("""{"hourly":{"time":[1774008000],"temperature_2m":[null]}}""")]
    public async Task A_200_without_what_we_need_is_a_bad_answer(string body)
    {
        await using var bench = On();
        bench.Answer(Path, SourceBench.Json(body));

        Assert.Equal(WeatherFault.BadAnswer, (await Fails(bench)).Fault);
    }

    [Fact]
    public void It_is_off_by_default()
    {
        Assert.False(new OpenMeteoOptions().Enabled);
        Assert.Empty(new OpenMeteoOptions().Faults(OpenMeteoOptions.Section));
    }

    [Fact]
    public void A_key_for_the_free_service_and_an_empty_credit_are_faults()
    {
        var options = new OpenMeteoOptions
        {
            Enabled = true,
            ApiKey = "k1",
            Attribution = " ",
        };

        Assert.Collection(
            options.Faults(OpenMeteoOptions.Section),
            f => Assert.Contains("customer-api.open-meteo.com", f, StringComparison.Ordinal),
            f => Assert.StartsWith("Weather:OpenMeteo:Attribution", f, StringComparison.Ordinal)
        );
    }

    private static SourceBench On(Action<OpenMeteoOptions>? configure = null) =>
        new(w =>
        {
            w.OpenMeteo.Enabled = true;
            configure?.Invoke(w.OpenMeteo);
        });

    private static string Body(SourceBench bench) =>
        OpenMeteoBody.Hourly(bench.Now - Duration.FromHours(30), 24 * 5, temperature: _ => "9.5");

    private static Task<WeatherSourceException> Fails(SourceBench bench) =>
        Assert.ThrowsAsync<WeatherSourceException>(() =>
            bench.Get<OpenMeteoSource>().ForecastAsync(SourceBench.Cell, Ct)
        );
}
