using Dapper;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Sqlite;

/// <summary>A lawn whose row cannot be read costs nobody else a morning, and its own stands on record.</summary>
public sealed class DamagedLawnTests : IDisposable
{
    // 06:30 in Chicago is 12:30 UTC.
    private static readonly Instant Now = Instant.FromUtc(2026, 11, 25, 12, 30);

    private readonly FakeTimeProvider _clock = new((Now - Duration.FromDays(1)).ToDateTimeOffset());
    private readonly TempFolder _folder = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("'{'")]
    [InlineData("'null'")]
    // A grass that a later program knows.
    [InlineData("replace(profile, 'Bermuda', 'Moonturf')")]
    public async Task The_others_have_their_morning_and_this_one_is_on_record(string damage)
    {
        await using var store = await TurfStore.OpenAsync(_folder.Options, _clock, Cancellation);
        var ill = await AddAsync(store, "ill@example.com");
        var well = await AddAsync(store, "well@example.com");
        await using (
            var connection = new SqliteConnection(
                $"Data Source={_folder.Options.DatabasePath};Pooling=False"
            )
        )
        {
            Assert.Equal(
                1,
                await connection.ExecuteAsync(
                    $"UPDATE lawn SET profile = {damage} WHERE id = @Id",
                    new { ill.Lawns[0].Id }
                )
            );
        }

        _clock.SetUtcNow(Now.ToDateTimeOffset());
        Assert.Equal(well.Lawns[0].Id, Assert.Single(await MorningsAsync(store)).Lawn.Id);
        Assert.Equal(well.Lawns[0].Id, Assert.Single(await MorningsAsync(store)).Lawn.Id);
        var record = await store.Outbox.FindAsync(
            ill.Subscriber.Id,
            MessageKind.Morning,
            $"2026-11-25#{ill.Lawns[0].Id}",
            Cancellation
        );
        Assert.Equal(OutboxState.Dead, record!.State);
        Assert.StartsWith(
            $"lawn {ill.Lawns[0].Id} cannot be read (",
            record.LastReply,
            StringComparison.Ordinal
        );

        var seasons = new List<DueSeason>();
        await foreach (var season in store.SeasonPlans.DueAsync(Now, Cancellation))
        {
            seasons.Add(season);
        }

        Assert.Equal(well.Lawns[0].Id, Assert.Single(seasons).Lawn.Id);
        Assert.Equal(
            well.Lawns[0].Place,
            Assert.Single(await store.Cells.PlacesWithoutCellAsync(Cancellation))
        );
        await store.Cells.SaveAsync(
            new WeatherCell
            {
                Id = "cell",
                LatitudeDeg = 30,
                LongitudeDeg = -97,
                ElevationM = 200,
                ResolvedAt = Now,
            },
            well.Lawns[0].Place.Zip,
            Cancellation
        );
        Assert.Equal(
            well.Lawns[0].Id,
            Assert.Single(await store.Cells.LawnsAsync("cell", Cancellation)).Id
        );
    }

    private static async Task<SubscriberLawns> AddAsync(TurfStore store, string email) =>
        (
            await store.Subscribers.AddAsync(
                email,
                Samples.Lawn() with
                {
                    Grass = GrassKind.Bermuda,
                },
                Cancellation
            )
        )!;

    private static async Task<List<DueMorning>> MorningsAsync(TurfStore store)
    {
        var mornings = new List<DueMorning>();
        await foreach (
            var morning in store.Subscribers.DueMorningsAsync(
                Now,
                Duration.Zero,
                Duration.FromHours(1),
                Cancellation
            )
        )
        {
            mornings.Add(morning);
        }

        return mornings;
    }
}
