using System.Web;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.NasaPower;
using Xunit;

namespace TurfWatch.Weather.Tests.NasaPower;

public sealed class NasaPowerSourceTests
{
    private const string Path = "/api/temporal/hourly/point";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_asks_month_by_month_in_UTC_for_the_nearest_grid_point_up_to_yesterday()
    {
        await using var bench = new SourceBench();
        bench.Answer(Path, SourceBench.Json(February()));

        await bench
            .Get<NasaPowerSource>()
            .PastAsync(SourceBench.Cell, bench.Now - Duration.FromDays(40), bench.Now, Ct);

        var queries = bench.Asked.Select(u => HttpUtility.ParseQueryString(u.Query)).ToList();
        Assert.Equal(
            ["20260201-20260228", "20260301-20260319"],
            queries.Select(q => $"{q["start"]}-{q["end"]}")
        );
        Assert.All(
            queries,
            q =>
            {
                Assert.Equal("RE", q["community"]);
                Assert.Equal("UTC", q["time-standard"]);
                Assert.Equal("JSON", q["format"]);
                Assert.Equal("turfwatch", q["user"]);
                Assert.Equal("29.5", q["latitude"]); // 29.42 on the grid of 0.5 degrees
                Assert.Equal("-98.75", q["longitude"]); // -98.49 on the grid of 0.625 degrees
                Assert.Equal(
                    "T2M,T2MDEW,RH2M,WS10M,PRECTOTCORR,ALLSKY_SFC_SW_DWN,ALLSKY_SFC_LW_DWN,CLOUD_AMT",
                    q["parameters"]
                );
            }
        );
    }

    [Fact]
    public async Task Neighbouring_cells_share_one_request()
    {
        await using var bench = new SourceBench();
        bench.Answer(Path, SourceBench.Json(February()));
        var source = bench.Get<NasaPowerSource>();
        var from = Instant.FromUtc(2026, 2, 1, 1, 0);
        var to = Instant.FromUtc(2026, 2, 28, 0, 0);

        await source.PastAsync(SourceBench.Cell, from, to, Ct);
        await source.PastAsync(
            SourceBench.Cell with
            {
                LatitudeDeg = 29.6,
                LongitudeDeg = -98.6,
            },
            from,
            to,
            Ct
        );
        Assert.Single(bench.Asked);

        await source.PastAsync(SourceBench.Cell with { LatitudeDeg = 30.1 }, from, to, Ct);
        Assert.Equal(2, bench.Asked.Count);
    }

    [Fact]
    public async Task A_closed_month_is_not_asked_for_again_and_the_newest_days_are()
    {
        await using var bench = new SourceBench();
        bench.Answer(Path, SourceBench.Json(February()));
        var source = bench.Get<NasaPowerSource>();
        var from = Instant.FromUtc(2026, 2, 1, 1, 0);

        await source.PastAsync(SourceBench.Cell, from, bench.Now, Ct);
        bench.Clock.Advance(TimeSpan.FromDays(1));
        await source.PastAsync(SourceBench.Cell, from, bench.Now, Ct);

        Assert.Equal(
            ["20260228", "20260319", "20260320"],
            bench.Asked.Select(u => HttpUtility.ParseQueryString(u.Query)["end"])
        );
    }

    [Fact]
    public async Task The_note_tells_how_far_the_data_reach()
    {
        await using var bench = new SourceBench();
        var end = Instant.FromUtc(2026, 3, 14, 6, 0);
        bench.Answer(
            Path,
            SourceBench.Json(
                PowerBody.Days(
                    new(2026, 3, 1),
                    new(2026, 3, 19),
                    (name, hour) => hour < end ? PowerBody.Usual(name, hour) : -999
                )
            )
        );

        var past = await bench
            .Get<NasaPowerSource>()
            .PastAsync(SourceBench.Cell, Instant.FromUtc(2026, 3, 10, 0, 0), bench.Now, Ct);

        Assert.Equal(end, past.Note.DataTime);
        Assert.Equal(DataStanding.Fresh, past.Note.Standing);
        Assert.Equal(DataSubject.History, past.Note.Subject);
        Assert.Contains("NASA", past.Note.SourceName, StringComparison.Ordinal);
        Assert.Equal(Instant.FromUtc(2026, 3, 10, 0, 0), past.Hours.FirstHourEnd);
    }

    [Theory]
    [InlineData(
        422,
        """{"header":"POWER","messages":["The user name is reserved"]}""",
        WeatherFault.Refused,
        "The user name is reserved"
    )]
    [InlineData(
        422,
        """{"detail":"too many parameters"}""",
        WeatherFault.Refused,
        "too many parameters"
    )]
    [InlineData(429, """{"messages":["slow down"]}""", WeatherFault.RateLimited, "slow down")]
    [InlineData(500, "<html><body>Server Error</body></html>", WeatherFault.Unreachable, "500")]
    [InlineData(503, "<html></html>", WeatherFault.Unreachable, "503")]
    public async Task Errors_are_told_apart(
        int status,
        string body,
        WeatherFault fault,
        string says
    )
    {
        await using var bench = new SourceBench();
        bench.Answer(
            Path,
            SourceBench.Error(status, body, body[0] == '<' ? "text/html" : "application/json")
        );

        var thrown = await Fails(bench);

        Assert.Equal(fault, thrown.Fault);
        Assert.Contains(says, thrown.Message, StringComparison.Ordinal);
        Assert.Single(bench.Asked); // the second month is not tried on a service that refuses
    }

    [Theory]
    [InlineData("<html><body>Busy</body></html>", "text/html")]
    [InlineData("""{"type":"Feature"}""", "application/json")]
    [InlineData("""{"properties":{"parameter":[1,2]}}""", "application/json")]
    [InlineData("""{"properties":{"parameter":{"T2M":{"2026""", "application/json")]
    public async Task A_200_that_is_no_answer_is_a_bad_answer(string body, string type)
    {
        await using var bench = new SourceBench();
        bench.Answer(Path, SourceBench.Error(200, body, type));

        Assert.Equal(WeatherFault.BadAnswer, (await Fails(bench)).Fault);
    }

    [Fact]
    public async Task Nothing_but_fill_values_is_no_history()
    {
        await using var bench = new SourceBench();
        bench.Answer(
            Path,
            SourceBench.Json(PowerBody.Days(new(2026, 3, 1), new(2026, 3, 19), (_, _) => -999))
        );

        var thrown = await Fails(bench);

        Assert.Equal(WeatherFault.BadAnswer, thrown.Fault);
        Assert.Contains("no air temperature", thrown.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_unreadable_month_leaves_the_others_and_says_so()
    {
        await using var bench = new SourceBench();
        bench
            .Server.Given(WireMock.RequestBuilders.Request.Create().WithParam("start", "20260301"))
            .RespondWith(SourceBench.Json("""{"type":"Feature"}"""));
        bench
            .Server.Given(WireMock.RequestBuilders.Request.Create().WithParam("start", "20260201"))
            .RespondWith(SourceBench.Json(February()));

        var past = await bench
            .Get<NasaPowerSource>()
            .PastAsync(SourceBench.Cell, Instant.FromUtc(2026, 2, 1, 1, 0), bench.Now, Ct);

        Assert.Equal(DataStanding.Stale, past.Note.Standing);
        Assert.NotNull(past.Note.Reason);
        Assert.Equal(Instant.FromUtc(2026, 3, 1, 0, 0), past.Note.DataTime);
    }

    [Theory]
    [InlineData("")]
    [InlineData("turf-watch")]
    [InlineData("turf watch")]
    [InlineData("Anonymous")]
    public void A_user_name_that_it_refuses_is_a_fault_of_the_options(string user)
    {
        var options = new NasaPowerOptions { User = user };

        var fault = Assert.Single(options.Faults(NasaPowerOptions.Section));

        Assert.StartsWith($"Weather:NasaPower:User is '{user}'", fault, StringComparison.Ordinal);
    }

    [Fact]
    public void The_defaults_have_no_fault() =>
        Assert.Empty(new NasaPowerOptions().Faults(NasaPowerOptions.Section));

    private static string February() =>
        PowerBody.Days(new(2026, 2, 1), new(2026, 2, 28), PowerBody.Usual);

    private static Task<WeatherSourceException> Fails(SourceBench bench) =>
        Assert.ThrowsAsync<WeatherSourceException>(() =>
            bench
                .Get<NasaPowerSource>()
                .PastAsync(SourceBench.Cell, bench.Now - Duration.FromDays(40), bench.Now, Ct)
        );
}
