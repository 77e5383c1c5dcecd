using System.Web;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.NasaPower;
using WireMock.RequestBuilders;
using Xunit;

namespace TurfWatch.Weather.Tests.NasaPower;

public sealed class NasaPowerClimateTests
{
    private const string Path = "/api/temporal/daily/point";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_asks_for_the_twenty_full_years_before_this_one_in_spans_of_five_in_solar_days()
    {
        await using var bench = new SourceBench();
        Answers(bench);

        var (climate, years) = await bench
            .Get<NasaPowerSource>()
            .ClimateAsync(SourceBench.Cell, Ct);

        var queries = bench.Asked.Select(u => HttpUtility.ParseQueryString(u.Query)).ToList();
        Assert.Equal(
            ["20060101-20101231", "20110101-20151231", "20160101-20201231", "20210101-20251231"],
            queries.Select(q => $"{q["start"]}-{q["end"]}")
        );
        Assert.All(
            queries,
            q =>
            {
                Assert.Equal("AG", q["community"]);
                Assert.Equal("LST", q["time-standard"]);
                Assert.Equal("JSON", q["format"]);
                Assert.Equal("turfwatch", q["user"]);
                Assert.Equal("29.5", q["latitude"]);
                Assert.Equal("-98.75", q["longitude"]);
                Assert.Equal(
                    "T2M,T2M_MAX,T2M_MIN,PRECTOTCORR,T2MDEW,WS10M,ALLSKY_SFC_SW_DWN",
                    q["parameters"]
                );
            }
        );
        Assert.Equal((2006, 2025, 20), (climate.FirstYear, climate.LastYear, climate.Years));
        Assert.All(climate.MeanC, t => Assert.Equal(10, t, 1e-9));
        Assert.All(climate.MaxC, t => Assert.Equal(20, t, 1e-9));
        Assert.All(climate.RainMm, mm => Assert.Equal(3, mm, 1e-9));
        // 15 days of 0.5 °C, one of them of -1 °C.
        Assert.Equal(0.4, climate.MinC[PlaceClimate.IndexOf(new(2000, 11, 10))], 1e-9);
        Assert.Equal(0.5, climate.MinC[PlaceClimate.IndexOf(new(2000, 7, 10))], 1e-9);
        Assert.Equal(19, climate.ColdSeasons.Count);
        Assert.Equal(new(2006, new(2006, 11, 10), new(2007, 3, 3)), climate.ColdSeasons[0]);
        Assert.Equal(
            (new LocalDate(2006, 1, 1), new LocalDate(2025, 12, 31), 7305),
            (years.First, years.Last, years.Days.Length)
        );
        Assert.Equal(new ClimateDay(new(2025, 7, 4), 10, 0.5, 20, 3, 4, 2.5, 18), years.Days[^181]);
    }

    [Fact]
    public async Task An_answer_serves_a_year_and_all_cells_about_the_grid_point()
    {
        await using var bench = new SourceBench();
        Answers(bench);
        var source = bench.Get<NasaPowerSource>();

        await source.ClimateAsync(SourceBench.Cell, Ct);
        bench.Clock.Advance(TimeSpan.FromDays(280));
        await source.ClimateAsync(SourceBench.Cell with { LatitudeDeg = 29.6 }, Ct);
        Assert.Equal(4, bench.Asked.Count);

        bench.Clock.Advance(TimeSpan.FromDays(10)); // over new year
        foreach (var year in new[] { 2007, 2012, 2017, 2022 })
        {
            Answer(bench, year, PowerDailyBody.Usual, -999);
        }

        await source.ClimateAsync(SourceBench.Cell, Ct);
        Assert.Equal(
            "20220101-20261231",
            bench
                .Asked.Select(u => HttpUtility.ParseQueryString(u.Query))
                .Select(q => $"{q["start"]}-{q["end"]}")
                .Last()
        );
    }

    [Fact]
    public async Task Temperatures_are_brought_to_the_height_of_the_place()
    {
        await using var bench = new SourceBench();
        Answers(bench); // POWER's cell at 200 m

        var (climate, years) = await bench
            .Get<NasaPowerSource>()
            .ClimateAsync(SourceBench.Cell with { ElevationM = 1200 }, Ct);

        // 6.5 K per km (ISO 2533:1975, International Standard Atmosphere).
        Assert.Equal(10 - 6.5, climate.MeanC[0], 1e-9);
        Assert.Equal(20 - 6.5, climate.MaxC[0], 1e-9);
        Assert.Equal(4 - 6.5, years.Days[0].DewPointC, 1e-9);
        Assert.Equal(18, years.Days[0].ShortwaveMJM2, 1e-9);
        Assert.Equal(new(2006, 7, 1), climate.ColdSeasons[0].FirstFreeze); // 0.5 - 6.5 °C freezes each night
    }

    [Theory]
    [InlineData(-999)]
    [InlineData(-99)]
    public async Task A_fill_value_is_missing_parameter_by_parameter(double fill)
    {
        await using var bench = new SourceBench();
        var gap = new LocalDate(2008, 2, 29);
        Answers(
            bench,
            (name, day) =>
                day == gap && name == "T2M_MIN" ? fill
                : day >= new LocalDate(2025, 12, 25) && name == "ALLSKY_SFC_SW_DWN" ? fill
                : day.Year == 2012 && name == "T2M" ? fill
                : PowerDailyBody.Usual(name, day),
            fill
        );

        var (climate, years) = await bench
            .Get<NasaPowerSource>()
            .ClimateAsync(SourceBench.Cell, Ct);

        Assert.Equal(19, climate.Years); // without 2012
        Assert.All(climate.MeanC, t => Assert.Equal(10, t, 1e-9));
        Assert.Equal(0.5, climate.MinC[PlaceClimate.IndexOf(gap.PlusDays(-7))], 1e-9);
        Assert.Equal(19, climate.ColdSeasons.Count); // minima were known in 2012
        Assert.Equal(double.NaN, years.Days[^1].ShortwaveMJM2); // radiation comes days after the rest
        Assert.Equal((10, 18), (years.Days[^1].MeanC, years.Days[^8].ShortwaveMJM2));
    }

    [Fact]
    public async Task Radiation_in_kilowatt_hours_is_brought_to_megajoules()
    {
        await using var bench = new SourceBench();
        foreach (var year in new[] { 2006, 2011, 2016, 2021 })
        {
            bench
                .Server.Given(Request.Create().WithPath(Path).WithParam("start", $"{year}0101"))
                .RespondWith(
                    SourceBench.Json(
                        PowerDailyBody.Days(
                            new(year, 1, 1),
                            new(year + 4, 12, 31),
                            (name, day) =>
                                name == "ALLSKY_SFC_SW_DWN" ? 5 : PowerDailyBody.Usual(name, day),
                            unit: (name, usual) =>
                                name == "ALLSKY_SFC_SW_DWN" ? "kW-hr/m^2/day" : usual
                        )
                    )
                );
        }

        var (_, years) = await bench.Get<NasaPowerSource>().ClimateAsync(SourceBench.Cell, Ct);

        Assert.All(years.Days, d => Assert.Equal(18, d.ShortwaveMJM2, 1e-9)); // 1 kWh is 3.6 MJ
    }

    [Fact]
    public async Task A_day_that_the_answer_leaves_out_stands_in_the_years_as_missing()
    {
        await using var bench = new SourceBench();
        Answers(bench);
        var body = PowerDailyBody
            .Days(new(2011, 1, 1), new(2015, 12, 31), PowerDailyBody.Usual)
            .Replace("\"20130601\"", "\"20130602\"", StringComparison.Ordinal);
        bench
            .Server.Given(Request.Create().WithPath(Path).WithParam("start", "20110101"))
            .RespondWith(SourceBench.Json(body));

        var (_, years) = await bench.Get<NasaPowerSource>().ClimateAsync(SourceBench.Cell, Ct);

        Assert.Equal(7305, years.Days.Length);
        Assert.Equal(double.NaN, years.Days.Single(d => d.Date == new LocalDate(2013, 6, 1)).MeanC);
    }

    [Fact]
    public async Task Too_few_known_years_are_no_climate()
    {
        await using var bench = new SourceBench();
        Answers(bench, (name, day) => day.Year < 2017 ? -999 : PowerDailyBody.Usual(name, day));

        var thrown = await Fails(bench);

        Assert.Equal(WeatherFault.BadAnswer, thrown.Fault);
        Assert.Contains("fewer than 10 years", thrown.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_span_that_fails_fails_the_climate_and_the_others_are_not_asked_again()
    {
        await using var bench = new SourceBench();
        var broken = Request.Create().WithPath(Path).WithParam("start", "20160101");
        foreach (var year in new[] { 2006, 2011, 2021 })
        {
            Answer(bench, year, PowerDailyBody.Usual, -999);
        }

        bench.Server.Given(broken).RespondWith(SourceBench.Error(500, "<html/>", "text/html"));
        Assert.Equal(WeatherFault.Unreachable, (await Fails(bench)).Fault);
        Assert.Equal(3, bench.Asked.Count);

        Answer(bench, 2016, PowerDailyBody.Usual, -999);
        await bench.Get<NasaPowerSource>().ClimateAsync(SourceBench.Cell, Ct);
        Assert.Equal(5, bench.Asked.Count);
    }

    [Theory]
    [InlineData("UTC", "C", "2006", "asked for LST, answered in 'UTC'")]
    [InlineData("LST", "K", "2006", "T2M is in 'K', not in c")]
    public async Task Another_time_standard_or_unit_is_a_bad_answer(
        string standard,
        string unit,
        string year,
        string says
    )
    {
        await using var bench = new SourceBench();
        bench.Answer(
            Path,
            SourceBench.Json(
                PowerDailyBody.Days(
                    new(int.Parse(year, null), 1, 1),
                    new(2010, 12, 31),
                    PowerDailyBody.Usual,
                    timeStandard: standard,
                    unit: (name, usual) => name == "T2M" ? unit : usual
                )
            )
        );

        var thrown = await Fails(bench);

        Assert.Equal(WeatherFault.BadAnswer, thrown.Fault);
        Assert.Contains(says, thrown.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{"type":"Feature"}""")]
    [InlineData("""{"properties":{"parameter":{"T2M":{"2006013":1.0}}}}""")]
    [InlineData("""{"properties":{"parameter":{"T2M":{"20070229":1.0}}}}""")]
    public async Task A_200_that_is_no_answer_is_a_bad_answer(string body)
    {
        await using var bench = new SourceBench();
        bench.Answer(Path, SourceBench.Json(body));

        Assert.Equal(WeatherFault.BadAnswer, (await Fails(bench)).Fault);
    }

    [Fact]
    public async Task The_desk_gives_the_climate_with_its_credit_or_a_note_that_says_why_not()
    {
        await using var bench = new SourceBench();
        Answers(bench);
        var desk = bench.Get<WeatherDesk>();
        Assert.True(desk.HasClimate);

        var told = await desk.ClimateAsync(SourceBench.Cell, Ct);
        Assert.NotNull(told.Climate);
        Assert.Equal(new LocalDate(2006, 1, 1), told.Years!.First);
        Assert.Equal(
            (DataSubject.Climate, NasaPowerSource.Credit, DataStanding.Fresh),
            (told.Note.Subject, told.Note.SourceName, told.Note.Standing)
        );

        bench.Server.Reset();
        var elsewhere = SourceBench.Cell with { LatitudeDeg = 40 };
        var missing = await desk.ClimateAsync(elsewhere, Ct);
        Assert.Equal((null, null), (missing.Climate, missing.Years));
        Assert.Equal(DataStanding.Missing, missing.Note.Standing);
        Assert.Contains("NASA POWER", missing.Note.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Switched_off_the_desk_has_no_climate()
    {
        await using var bench = new SourceBench(o => o.NasaPower.Enabled = false);
        var desk = bench.Get<WeatherDesk>();

        Assert.False(desk.HasClimate);
        var none = await desk.ClimateAsync(SourceBench.Cell, Ct);
        Assert.Equal((null, DataStanding.Missing), (none.Climate, none.Note.Standing));
        Assert.Empty(bench.Asked);
    }

    private static void Answers(
        SourceBench bench,
        Func<string, LocalDate, double>? value = null,
        double fill = -999
    )
    {
        foreach (var year in new[] { 2006, 2011, 2016, 2021 })
        {
            Answer(bench, year, value ?? PowerDailyBody.Usual, fill);
        }
    }

    private static void Answer(
        SourceBench bench,
        int year,
        Func<string, LocalDate, double> value,
        double fill
    ) =>
        bench
            .Server.Given(Request.Create().WithPath(Path).WithParam("start", $"{year}0101"))
            .RespondWith(
                SourceBench.Json(
                    PowerDailyBody.Days(new(year, 1, 1), new(year + 4, 12, 31), value, fill)
                )
            );

    private static Task<WeatherSourceException> Fails(SourceBench bench) =>
        Assert.ThrowsAsync<WeatherSourceException>(() =>
            bench.Get<NasaPowerSource>().ClimateAsync(SourceBench.Cell, Ct)
        );
}
