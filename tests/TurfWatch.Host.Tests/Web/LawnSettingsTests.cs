using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Web;

/// <summary>Settings and pauses on the pages of a lawn.</summary>
public sealed class LawnSettingsTests : LawnPagesRig
{
    [Fact]
    public async Task Pause_and_resume_are_one_button_each()
    {
        await PostAsync("/say", ("line", "pause"), ("once", await OnceAsync()));
        Assert.NotNull((await OwnedAsync()).PausedUntil);
        var html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        Assert.Contains("Let the messages go on", html, StringComparison.Ordinal);
        await PostAsync("/say", ("line", "resume"), ("once", await OnceAsync()));
        html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        Assert.Contains("Pause the messages", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_pause_until_a_day_is_a_date_in_a_form()
    {
        await PostAsync("/say", ("until", "2027-01-10"), ("once", await OnceAsync()));
        Assert.Equal(new LocalDate(2027, 1, 10), (await OwnedAsync()).PausedUntil);
        var html = await _rig.Http.GetStringAsync(Link(_pat), Cancel);
        Assert.Contains("Messages are paused until Jan", html, StringComparison.Ordinal);
        foreach (var bad in new[] { "2026-11-25", "2029-01-01", "soon", "2027-02-30" })
        {
            var page = await PostAsync("/say", ("until", bad), ("once", await OnceAsync()));
            Assert.Equal((bad, HttpStatusCode.BadRequest), (bad, page.Status));
        }

        Assert.Equal(new LocalDate(2027, 1, 10), (await OwnedAsync()).PausedUntil);
    }

    [Fact]
    public async Task Measures_are_understood_as_people_write_them_and_grasses_are_the_ones_chosen()
    {
        await PostAsync(
            "/settings",
            ("grass", "fine-fescue"),
            ("area", "3,000 square feet"),
            ("height", "2 1/2"),
            ("sprinkler", "0.6 inches per hour"),
            ("once", await OnceAsync())
        );
        var lawn = (await OwnedAsync()).Lawn;
        Assert.Equal(GrassKind.FineFescue, lawn.Grass);
        // Foot and inch are exact (NIST SP 811).
        Assert.Equal(278.70912, lawn.AreaM2!.Value, 6);
        Assert.Equal(6.35, lawn.MowingHeightCm!.Value, 6);
        Assert.Equal(15.24, lawn.SprinklerMmH!.Value, 6);
    }

    [Fact]
    public async Task Days_are_boxes_and_none_ticked_means_every_day()
    {
        // A browser sends the empty field and each box that is ticked.
        await PostAsync(
            "/settings",
            ("days", ""),
            ("days", "mon"),
            ("days", "sat"),
            ("morning", "no"),
            ("once", await OnceAsync())
        );
        var lawn = (await OwnedAsync()).Lawn;
        Assert.Equal([IsoDayOfWeek.Monday, IsoDayOfWeek.Saturday], lawn.MowDays);
        Assert.False(lawn.Morning);
        var html = await _rig.Http.GetStringAsync(Link(_pat) + "/settings", Cancel);
        Assert.Contains("name=\"days\" value=\"sat\" checked", html, StringComparison.Ordinal);
        Assert.DoesNotContain("value=\"sun\" checked", html, StringComparison.Ordinal);

        var same = await PostAsync(
            "/settings",
            ("days", ""),
            ("days", "mon"),
            ("days", "sat"),
            ("once", await OnceAsync())
        );
        Assert.Contains("Nothing was changed", same.Html, StringComparison.Ordinal);
        await PostAsync("/settings", ("days", ""), ("once", await OnceAsync()));
        Assert.Empty((await OwnedAsync()).Lawn.MowDays);
    }

    [Fact]
    public async Task Settings_are_saved_and_the_rest_stays_as_it_was()
    {
        var before = (await OwnedAsync()).Lawn;
        var page = await PostAsync(
            "/settings",
            ("height", "3in"),
            ("zip", "85719-1234"),
            ("digest", "no"),
            ("once", await OnceAsync())
        );
        Assert.Equal(HttpStatusCode.OK, page.Status);
        var after = (await OwnedAsync()).Lawn;
        Assert.Equal(7.62, after.MowingHeightCm!.Value, 6);
        Assert.Equal("America/Phoenix", after.Place.ZoneId);
        Assert.Null(after.DigestDay);
        Assert.Equal(
            (before.Grass, before.Name, before.AreaM2),
            (after.Grass, after.Name, after.AreaM2)
        );
    }

    [Fact]
    public async Task A_setting_that_cannot_be_is_told_beside_its_field_and_nothing_is_saved()
    {
        var before = (await OwnedAsync()).Lawn;
        var page = await PostAsync(
            "/settings",
            ("height", "tall"),
            ("zip", "00000"),
            ("zone", "Mars/Base"),
            ("name", "New"),
            ("once", await OnceAsync())
        );
        Assert.Equal(HttpStatusCode.BadRequest, page.Status);
        foreach (var name in new[] { "height", "zip", "zone" })
        {
            Assert.Contains($"id=\"{name}-fault\"", page.Html, StringComparison.Ordinal);
        }

        Assert.Contains("value=\"New\"", page.Html, StringComparison.Ordinal);
        Assert.Equal(before.Name, (await OwnedAsync()).Lawn.Name);
    }
}
