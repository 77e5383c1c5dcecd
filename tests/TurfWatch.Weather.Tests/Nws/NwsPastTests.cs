using System.Globalization;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Tests.Http;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>Which stations are asked, and how good their hours are.</summary>
public sealed class NwsPastTests
{
    private const string A = "/stations/KAAA/observations";
    private const string B = "/stations/KBBB/observations";

    [Fact]
    public async Task A_station_that_covers_the_hours_is_enough()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(A, NwsBench.Json(Reports(Enumerable.Range(0, 13), 4)));
        var past = await PastAsync(bench);
        Assert.Equal(1, bench.Requests);
        Assert.Equal(DataStanding.Fresh, past.Note.Standing);
        Assert.Equal(DataSubject.Observations, past.Note.Subject);
        Assert.Equal(bench.Now - Duration.FromMinutes(7), past.Note.DataTime);
        Assert.Equal(13, past.Hours.Count);
    }

    [Fact]
    public async Task The_gaps_of_the_nearest_are_filled_from_the_next()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(A, NwsBench.Json(Reports(Enumerable.Range(6, 7), 4)));
        bench.PathInTurn(B, NwsBench.Json(Reports(Enumerable.Range(0, 13), 9)));
        var temperature = (await PastAsync(bench)).Hours[WeatherColumn.AirTemperatureC].ToArray();
        Assert.Equal([9, 9, 9, 9, 9, 9, 4, 4, 4, 4, 4, 4, 4], temperature);
    }

    [Fact]
    public async Task A_dead_station_is_passed_over()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(A, NwsBench.Problem(404, "NotFound"));
        bench.PathInTurn(B, NwsBench.Json(Reports(Enumerable.Range(0, 13), 9)));
        Assert.Equal(9, (await PastAsync(bench)).Hours[WeatherColumn.AirTemperatureC][5]);
    }

    [Fact]
    public async Task A_station_fallen_silent_is_marked()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(A, NwsBench.Json(Reports(Enumerable.Range(0, 4), 4)));
        bench.PathInTurn(B, NwsBench.Json("""{"features":[]}"""));
        var note = (await PastAsync(bench)).Note;
        Assert.Equal(DataStanding.Stale, note.Standing);
        Assert.Contains("9 hours old", note.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task No_reports_in_the_span_are_too_old_and_no_stations_no_coverage()
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Json("""{"features":[]}"""));
        Assert.Equal(WeatherFault.TooOld, (await StubService.FaultOf(PastAsync(bench))).Fault);
        var bare = NwsBench.Cell with { StationIds = [] };
        var none = bench.Source.PastAsync(
            bare,
            bench.Now - Duration.FromHours(12),
            bench.Now,
            default
        );
        Assert.Equal(WeatherFault.NoCoverage, (await StubService.FaultOf(none)).Fault);
    }

    [Fact]
    public async Task Further_pages_are_followed_until_the_span_is_covered()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(
            A,
            NwsBench.Json(
                Reports(
                    Enumerable.Range(7, 6),
                    4,
                    next: "https://example.test/x?cursor=eyJ%2B&limit=500"
                )
            ),
            NwsBench.Json(
                Reports(Enumerable.Range(0, 7), 4, next: "https://example.test/x?cursor=more")
            )
        );
        var past = await PastAsync(bench);
        Assert.Equal(2, bench.Requests);
        Assert.Contains(
            "cursor=eyJ%2B",
            bench.Server.LogEntries[^1].RequestMessage!.Url!,
            StringComparison.Ordinal
        );
        Assert.All(past.Hours[WeatherColumn.AirTemperatureC].ToArray(), v => Assert.Equal(4, v));
    }

    [Fact]
    public async Task Values_filled_in_later_are_taken_at_the_next_pull()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(
            A,
            NwsBench.Json(Reports(Enumerable.Range(0, 12), 4)),
            NwsBench.Json(Reports(Enumerable.Range(0, 13), 4))
        );
        Assert.True(
            double.IsNaN((await PastAsync(bench)).Hours[WeatherColumn.AirTemperatureC][12])
        );
        bench.Clock.Advance(TimeSpan.FromMinutes(31));
        Assert.Equal(4, (await PastAsync(bench)).Hours[WeatherColumn.AirTemperatureC][12]);
    }

    [Fact]
    public async Task Kept_reports_stand_in_marked_when_the_station_cannot_be_asked()
    {
        await using var bench = new NwsBench();
        bench.PathInTurn(
            A,
            NwsBench.Json(Reports(Enumerable.Range(0, 13), 4)),
            StubService.Html(403)
        );
        await PastAsync(bench);
        bench.Clock.Advance(TimeSpan.FromMinutes(31));
        var note = (await PastAsync(bench)).Note;
        Assert.Equal(DataStanding.Stale, note.Standing);
        Assert.Contains("stands in", note.Reason, StringComparison.Ordinal);
    }

    private static Task<SourceHours> PastAsync(NwsBench bench) =>
        bench.Source.PastAsync(
            NwsBench.Cell,
            Instant.FromUtc(2026, 3, 1, 0, 0),
            Instant.FromUtc(2026, 3, 1, 12, 0),
            default
        );

    /// <summary>Routine reports seven minutes before each of the hours of 1 March, newest first.</summary>
    private static string Reports(IEnumerable<int> hours, double temperature, string? next = null)
    {
        var features = hours
            .Reverse()
            .Select(h =>
            {
                var at = new DateTimeOffset(2026, 3, 1, 0, 0, 0, TimeSpan.Zero)
                    .AddHours(h)
                    .AddMinutes(-7);
                return $$$"""{"type":"Feature","properties":{"@type":"wx:ObservationStation","station":"https://example.test/stations/KAAA","timestamp":"{{{at.ToString("yyyy-MM-ddTHH:mm:sszzz", CultureInfo.InvariantCulture)}}}","rawMessage":"","temperature":{"unitCode":"wmoUnit:degC","value":{{{temperature}}},"qualityControl":"V"},"precipitationLastHour":{"unitCode":"wmoUnit:mm","value":null,"qualityControl":"Z"},"cloudLayers":[{"base":{"unitCode":"wmoUnit:m","value":null},"amount":"CLR"}]}}""";
            });
        var pagination = next is null ? "" : $$""","pagination":{"next":"{{next}}"}""";
        return $$"""{"type":"FeatureCollection","features":[{{string.Join(",", features)}}]{{pagination}}}""";
    }
}
