using NodaTime;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.Tests.Http;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>From a place to its grid cell and stations.</summary>
public sealed class NwsCellsTests
{
    private const string PointPath = "/points/40,-100";
    private const string StationsPath = "/gridpoints/TST/7,9/stations";

    [Theory]
    [InlineData(29.38447, "29.3845")]
    [InlineData(45.4580, "45.458")]
    [InlineData(-98.62890001, "-98.6289")]
    [InlineData(40.0, "40")]
    [InlineData(-0.00001, "0")]
    public void Coordinates_have_four_decimals_at_most_and_no_trailing_zeros(
        double degrees,
        string expected
    ) => Assert.Equal(expected, NwsCells.Coordinate(degrees));

    [Fact]
    public async Task A_place_gets_its_cell_with_centre_height_and_stations()
    {
        await using var bench = Usual();
        var cell = await bench.Source.ResolveAsync(NwsBench.Home);
        Assert.Equal("nws:TST/7,9", cell.Id);
        Assert.Equal(("TST", 7, 9), (cell.GridId, cell.GridX, cell.GridY));
        Assert.Equal(40, cell.LatitudeDeg, 1e-9);
        Assert.Equal(-100, cell.LongitudeDeg, 1e-9);
        Assert.Equal(600.5, cell.ElevationM);
        Assert.Equal(["KAAA"], cell.StationIds);
        Assert.Equal(bench.Now, cell.ResolvedAt);
        Assert.DoesNotContain(
            bench.Server.LogEntries,
            e => e.RequestMessage!.Url!.Contains("cwa", StringComparison.Ordinal)
        );
    }

    [Fact]
    public async Task A_station_on_another_mountain_or_far_away_is_passed_over()
    {
        await using var bench = Usual();
        bench.PathInTurn(
            StationsPath,
            NwsBench.Json(
                NwsBench.Stations(
                    ("KTOP", 40.02, -100, 1900),
                    ("KFAR", 41.5, -100, 600),
                    ("KTWO", 40.2, -100, 650),
                    ("KONE", 40.1, -100, 700),
                    ("KUNK", 40.3, -100, null)
                )
            )
        );
        Assert.Equal(
            ["KONE", "KTWO", "KUNK"],
            (await bench.Source.ResolveAsync(NwsBench.Home)).StationIds
        );
    }

    [Fact]
    public async Task A_redirect_to_the_services_own_form_of_the_point_is_followed()
    {
        await using var bench = Usual();
        bench.PathInTurn(
            PointPath,
            NwsBench
                .Problem(301, "AdjustPointPrecision")
                .WithHeader("Location", "/points/40.0001,-100")
        );
        bench.PathInTurn("/points/40.0001,-100", NwsBench.Json(NwsBench.Point()));
        Assert.Equal("nws:TST/7,9", (await bench.Source.ResolveAsync(NwsBench.Home)).Id);
    }

    [Fact]
    public async Task A_place_in_the_services_care_without_a_grid_gets_a_cell_without_one()
    {
        await using var bench = Usual();
        bench.PathInTurn(
            PointPath,
            NwsBench.Json(NwsBench.Point("\"gridId\":null,\"gridX\":null,\"gridY\":null"))
        );
        var cell = await bench.Source.ResolveAsync(NwsBench.Home);
        Assert.Equal("at:40,-100", cell.Id);
        Assert.Null(cell.GridId);
    }

    [Fact]
    public async Task A_place_outside_the_services_care_gets_a_cell_without_a_grid()
    {
        await using var bench = Usual();
        bench.PathInTurn(PointPath, NwsBench.Problem(404, "InvalidPoint"));
        Assert.Null((await bench.Source.ResolveAsync(NwsBench.Home)).GridId);
        Assert.Equal(1, bench.Requests);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_coastal_place_whose_cell_is_water_is_moved_inland(bool told)
    {
        await using var bench = Usual();
        bench.PathInTurn(
            PointPath,
            NwsBench.Json(
                NwsBench.Point(
                    "\"gridId\":\"TST\",\"gridX\":1,\"gridY\":1"
                        + (told ? ",\"type\":\"marine\"" : "")
                )
            )
        );
        bench.PathInTurn(
            "/gridpoints/TST/1,1",
            NwsBench.Problem(404, "MarineForecastNotSupported")
        );
        // North of it is water too; south of it is land.
        bench.PathInTurn("/points/40.03,-100", NwsBench.Problem(404, "MarineForecastNotSupported"));
        bench.PathInTurn("/points/39.97,-100", NwsBench.Json(NwsBench.Point()));
        var land = GridBody.Usual();
        land.Geometry =
            """{"type":"Polygon","coordinates":[[[-100.02,39.95],[-100.02,39.98],[-99.98,39.98],[-99.98,39.95],[-100.02,39.95]]]}""";
        bench.PathInTurn(NwsBench.GridPath, NwsBench.Json(land.ToString()));
        Assert.Equal("nws:TST/7,9", (await bench.Source.ResolveAsync(NwsBench.Home)).Id);
    }

    [Fact]
    public async Task A_kept_mapping_that_has_drifted_is_asked_for_again()
    {
        await using var bench = Usual();
        bench.PathInTurn(
            PointPath,
            NwsBench.Json(NwsBench.Point("\"gridId\":\"OLD\",\"gridX\":3,\"gridY\":3")),
            NwsBench.Json(NwsBench.Point())
        );
        bench.PathInTurn("/gridpoints/OLD/3,3", NwsBench.Problem(404, "NotFound"));
        Assert.Equal("nws:TST/7,9", (await bench.Source.ResolveAsync(NwsBench.Home)).Id);
    }

    [Fact]
    public async Task A_cell_that_lies_elsewhere_is_not_taken()
    {
        await using var bench = Usual();
        var far = GridBody.Usual();
        far.Geometry =
            """{"type":"Polygon","coordinates":[[[-71.02,42.29],[-71.02,42.31],[-70.98,42.31],[-70.98,42.29],[-71.02,42.29]]]}""";
        bench.PathInTurn(NwsBench.GridPath, NwsBench.Json(far.ToString()));
        var fault = await StubService.FaultOf(bench.Source.ResolveAsync(NwsBench.Home));
        Assert.Equal(WeatherFault.BadAnswer, fault.Fault);
        Assert.Contains("km away", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_the_list_of_stations_the_cell_serves_and_is_looked_up_again_tomorrow()
    {
        await using var bench = Usual();
        bench.PathInTurn(StationsPath, NwsBench.Problem(404, "NotFound"));
        var cell = await bench.Source.ResolveAsync(NwsBench.Home);
        Assert.Empty(cell.StationIds);
        // A cell is kept for a week, so one that was confirmed six days ago is due tomorrow.
        Assert.Equal(bench.Now - Duration.FromDays(6), cell.ResolvedAt);
    }

    [Fact]
    public async Task A_grid_that_fails_just_now_does_not_unmake_the_cell()
    {
        await using var bench = Usual();
        bench.PathInTurn(NwsBench.GridPath, NwsBench.Problem(503, "ForecastGridExpired"));
        var cell = await bench.Source.ResolveAsync(NwsBench.Home);
        Assert.Equal("nws:TST/7,9", cell.Id);
        Assert.Null(cell.ElevationM);
    }

    [Fact]
    public async Task A_service_that_is_away_is_an_error_not_a_place_without_cover()
    {
        await using var bench = Usual();
        bench.PathInTurn(PointPath, StubService.Html(403));
        var fault = await StubService.FaultOf(bench.Source.ResolveAsync(NwsBench.Home));
        Assert.Equal(WeatherFault.Refused, fault.Fault);
    }

    private static NwsBench Usual()
    {
        var bench = new NwsBench();
        bench.Answer(NwsBench.Problem(404, "NotFound"));
        bench.PathInTurn(PointPath, NwsBench.Json(NwsBench.Point()));
        bench.PathInTurn(NwsBench.GridPath, NwsBench.Json(GridBody.Usual().ToString()));
        bench.PathInTurn(
            StationsPath,
            NwsBench.Json(NwsBench.Stations(("KAAA", 40.1, -100.1, 580)))
        );
        return bench;
    }
}
