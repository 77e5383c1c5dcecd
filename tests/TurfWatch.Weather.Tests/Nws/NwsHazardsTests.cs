using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.Tests.Http;
using Xunit;

namespace TurfWatch.Weather.Tests.Nws;

/// <summary>Warnings: which are in force, and that a failure is never "none".</summary>
public sealed class NwsHazardsTests
{
    [Fact]
    public async Task A_warning_in_force_is_told_with_the_hazards_own_end()
    {
        await using var bench = With(
            Alert("a", expires: "2026-03-01T05:50:00-06:00", ends: "2026-03-01T15:00:00-06:00")
        );
        var hazard = Assert.Single((await AskAsync(bench)).Hazards);
        Assert.Equal(
            new Hazard(
                "Freeze Warning",
                "Moderate",
                Instant.FromUtc(2026, 3, 1, 6, 0),
                Instant.FromUtc(2026, 3, 1, 21, 0),
                "NWS Testville"
            ),
            hazard
        );
    }

    [Fact]
    public async Task The_question_names_the_point_and_never_a_limit()
    {
        await using var bench = With();
        var answer = await AskAsync(bench);
        Assert.Empty(answer.Hazards);
        Assert.Equal(DataStanding.Fresh, answer.Note.Standing);
        var url = Uri.UnescapeDataString(bench.Server.LogEntries[^1].RequestMessage!.Url!);
        Assert.EndsWith(
            "/alerts/active?point=40,-100&status=actual",
            url,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task What_a_later_message_replaces_or_cancels_is_dropped_and_so_is_the_cancellation()
    {
        await using var bench = With(
            Alert("old"),
            Alert("new", type: "Update", references: "old"),
            Alert("gone"),
            Alert("end", type: "Cancel", references: "gone")
        );
        Assert.Single((await AskAsync(bench)).Hazards);
    }

    [Theory]
    [InlineData("2026-03-01T11:00:00+00:00", "2026-03-01T11:30:00+00:00", false)] // over
    [InlineData("2026-03-01T11:00:00+00:00", "2026-03-01T13:00:00+00:00", true)] // outlasts its message
    [InlineData("2026-03-01T13:00:00+00:00", null, true)]
    [InlineData("2026-03-01T11:00:00+00:00", null, false)]
    [InlineData(null, null, true)] // no end told: in force
    public async Task A_hazard_ends_when_it_ends_and_its_message_only_when_nothing_else_is_said(
        string? expires,
        string? ends,
        bool inForce
    )
    {
        await using var bench = With(Alert("a", expires: expires, ends: ends));
        Assert.Equal(inForce ? 1 : 0, (await AskAsync(bench)).Hazards.Length);
    }

    [Fact]
    public async Task A_test_message_is_no_hazard()
    {
        await using var bench = With(Alert("a", status: "Test"));
        Assert.Empty((await AskAsync(bench)).Hazards);
    }

    [Theory]
    [InlineData(400)]
    [InlineData(403)]
    [InlineData(404)]
    [InlineData(500)]
    public async Task An_error_is_never_no_warnings(int status)
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Problem(status));
        var ask = AskAsync(bench);
        await bench.RunAsync((Task)ask);
        await StubService.FaultOf(ask);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("""{"title":"x","features":null}""")]
    public async Task An_answer_without_a_list_is_never_no_warnings(string body)
    {
        await using var bench = new NwsBench();
        bench.Answer(NwsBench.Json(body));
        Assert.Equal(WeatherFault.BadAnswer, (await StubService.FaultOf(AskAsync(bench))).Fault);
    }

    [Fact]
    public async Task A_kept_list_stands_in_marked_for_an_hour_only()
    {
        await using var bench = With(Alert("a", expires: null, ends: null));
        await AskAsync(bench);
        bench.Answer(StubService.Html(403));
        bench.Clock.Advance(TimeSpan.FromMinutes(50));
        var kept = await AskAsync(bench);
        Assert.Single(kept.Hazards);
        Assert.Equal(DataStanding.Stale, kept.Note.Standing);
        bench.Clock.Advance(TimeSpan.FromMinutes(20));
        await StubService.FaultOf(AskAsync(bench));
    }

    private static Task<TurfWatch.Weather.Nws.SourceHazards> AskAsync(NwsBench bench) =>
        bench.Source.HazardsAsync(40, -100, default);

    private static NwsBench With(params string[] alerts)
    {
        var bench = new NwsBench();
        bench.Answer(
            NwsBench.Json(
                $$"""{"type":"FeatureCollection","features":[{{string.Join(",", alerts)}}],"title":"Current watches","updated":"2026-03-01T11:58:00+00:00"}"""
            )
        );
        return bench;
    }

    private static string Alert(
        string id,
        string type = "Alert",
        string? references = null,
        string status = "Actual",
        string? expires = "2026-03-01T18:00:00+00:00",
        string? ends = "2026-03-01T21:00:00+00:00"
    ) =>
        $$$"""
            {"type":"Feature","geometry":null,"properties":{"id":"{{{id}}}","areaDesc":"Test County","status":"{{{status}}}","messageType":"{{{type}}}",
            "references":[{{{Reference(references)}}}],
            "sent":"2026-03-01T05:00:00+00:00","effective":"2026-03-01T05:00:00+00:00","onset":"2026-03-01T00:00:00-06:00",
            "expires":{{{Quoted(expires)}}},"ends":{{{Quoted(
                ends
            )}}},"severity":"Moderate","certainty":"Likely","event":"Freeze Warning","senderName":"NWS Testville"}}
            """;

    private static string Reference(string? id) =>
        id is null ? "" : $$"""{"identifier":"{{id}}"}""";

    private static string Quoted(string? text) => text is null ? "null" : $"\"{text}\"";
}
