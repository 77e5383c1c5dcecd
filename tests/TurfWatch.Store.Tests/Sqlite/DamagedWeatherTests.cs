using Dapper;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Store.Sqlite;

namespace TurfWatch.Store.Tests.Sqlite;

/// <summary>A kept day of weather that cannot be read costs its cell that day, and nothing else.</summary>
public sealed class DamagedWeatherTests : IDisposable
{
    private static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 0, 0);
    private static readonly FakeTimeProvider Clock = new(Start.ToDateTimeOffset());

    private readonly TempFolder _folder = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("zeroblob(0)")]
    [InlineData("zeroblob(500)")]
    [InlineData("substr(hours, 1, 30)")]
    [InlineData("substr(hours, 1, length(hours) - 1)")]
    [InlineData("CAST(hours || x'00' AS BLOB)")]
    // The origin of the first hour is one that the table does not have.
    [InlineData("CAST(substr(hours, 1, 3) || x'07' || substr(hours, 5) AS BLOB)")]
    // The first origin is of a kind that there is not.
    [InlineData("CAST(substr(hours, 1, 28) || x'09' || substr(hours, 30) AS BLOB)")]
    // The last temperature is 3e38.
    [InlineData("CAST(substr(hours, 1, length(hours) - 4) || x'ffff7f7f' AS BLOB)")]
    public async Task A_damaged_day_is_missing_and_told_and_is_dropped_once(string damage)
    {
        await using var store = await TurfStore.OpenAsync(_folder.Options, Clock, Cancellation);
        await KeepAsync(store, "ill");
        await KeepAsync(store, "well");
        await DamageAsync(damage);

        var ill = await LoadAsync(store, "ill");
        var well = await LoadAsync(store, "well");

        Assert.Equal(72, ill.Hours.Count);
        Assert.Equal(
            Enumerable
                .Repeat(false, 24)
                .Concat(Enumerable.Repeat(true, 24))
                .Concat(Enumerable.Repeat(false, 24)),
            ill.Hours[WeatherColumn.AirTemperatureC].ToArray().Select(double.IsNaN)
        );
        var note = Assert.Single(ill.Notes);
        Assert.Equal(
            (DataSubject.History, DataStanding.Missing, (LocalDate?)new LocalDate(2026, 11, 24)),
            (note.Subject, note.Standing, note.Day)
        );
        Assert.Null(ill.Note(DataSubject.History));
        Assert.Empty(well.Notes);
        Assert.DoesNotContain(well.Hours[WeatherColumn.AirTemperatureC].ToArray(), double.IsNaN);

        Assert.StartsWith(
            "Analysed weather of 2026-11-24T00:00:00Z is ",
            Assert.Single(await store.WeatherHours.DropDamagedAsync("ill", Cancellation)),
            StringComparison.Ordinal
        );
        Assert.Empty(await store.WeatherHours.DropDamagedAsync("ill", Cancellation));
        Assert.Empty(await store.WeatherHours.DropDamagedAsync("well", Cancellation));
        Assert.Empty((await LoadAsync(store, "ill")).Notes);
    }

    [Fact]
    public async Task Fresh_hours_take_the_place_of_a_damaged_day()
    {
        await using var store = await TurfStore.OpenAsync(_folder.Options, Clock, Cancellation);
        await KeepAsync(store, "ill");
        await DamageAsync("zeroblob(9)");

        await KeepAsync(store, "ill");

        var kept = await LoadAsync(store, "ill");
        Assert.Empty(kept.Notes);
        Assert.DoesNotContain(kept.Hours[WeatherColumn.AirTemperatureC].ToArray(), double.IsNaN);
    }

    private async Task DamageAsync(string hours)
    {
        await using var database = SqliteDatabase.Open(_folder.Options, Clock, StoreAccess.Beside);
        Assert.Equal(
            1,
            await database.WriteAsync(
                t =>
                    t.Connection!.Execute(
                        $"UPDATE weather_day SET hours = {hours} WHERE cell_id = 'ill' AND day = @day",
                        new { day = (Start - Duration.FromDays(1)).ToUnixTimeSeconds() / 86_400 },
                        t
                    ),
                Cancellation
            )
        );
    }

    private static Task<CellWeather> LoadAsync(TurfStore store, string cell) =>
        store.WeatherHours.LoadAsync(
            cell,
            Start - Duration.FromDays(9),
            Start + Duration.FromDays(9),
            Cancellation
        );

    /// <summary>Three days of hours: the day before the damaged one, that one, and the next.</summary>
    private static async Task KeepAsync(TurfStore store, string cell)
    {
        await store.Cells.SaveAsync(
            new WeatherCell
            {
                Id = cell,
                LatitudeDeg = 29.4,
                LongitudeDeg = -98.5,
                ResolvedAt = Start,
            },
            cell,
            Cancellation
        );
        var builder = new WeatherSeriesBuilder(Start - Duration.FromDays(2), 72);
        builder.Origins.Fill(new(HourKind.Analysed, "nasa-power", null));
        builder[WeatherColumn.AirTemperatureC].Fill(12.5);
        await store.WeatherHours.SaveAsync(cell, builder.Build(), Cancellation);
    }
}
