using System.Collections.Concurrent;
using System.Globalization;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Jobs;

public sealed class MorningSweepTests
{
    private static readonly Instant Due = Instant.FromUtc(2026, 5, 31, 11, 30);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public void Ten_thousand_messages_of_one_minute_spread_evenly_over_the_next_five()
    {
        var spread = MorningSpread.Of(TimeSpan.FromMinutes(5), 1000);
        var delays = Enumerable.Range(1, 10_000).Select(id => MorningSpread.Delay(id, spread));
        var perMinute = delays
            .GroupBy(d => (int)d.TotalMinutes)
            .ToDictionary(g => g.Key, g => g.Count());

        Assert.Equal([0, 1, 2, 3, 4], perMinute.Keys.Order());
        Assert.All(perMinute.Values, n => Assert.InRange(n, 1_990, 2_010));
    }

    [Fact]
    public void A_household_of_its_own_is_not_kept_waiting()
    {
        var alone = MorningSpread.Of(TimeSpan.FromMinutes(5), 1);

        Assert.InRange(MorningSpread.Delay(1, alone), Duration.Zero, Duration.FromSeconds(6));
        Assert.Equal(Duration.Zero, MorningSpread.Delay(77, Duration.Zero));
    }

    [Fact]
    public async Task More_than_a_batch_are_all_made_once_and_a_cell_is_read_once_a_batch()
    {
        using var folder = new ScratchFolder();
        var clock = new FakeTimeProvider((Due - Duration.FromMinutes(10)).ToDateTimeOffset());
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder.Path },
            clock,
            Cancellation
        );
        const int Count = MorningSweep.Batch + 200;
        for (var i = 0; i < Count; i++)
        {
            await store.Subscribers.AddAsync($"m{i}@example.com", LawnIn(i % 2), Cancellation);
        }

        for (var i = 0; i < 2; i++)
        {
            var cell = new WeatherCell
            {
                Id = $"cell-{i}",
                LatitudeDeg = 40,
                LongitudeDeg = -80,
                ResolvedAt = Due,
            };
            await store.Cells.SaveAsync(cell, LawnIn(i).Place.Zip, Cancellation);
        }

        var source = new CountingWeather();
        var options = new JobsOptions();
        var sweep = new MorningSweep(
            store,
            new MessageComposer(new SenderOptions(), LinkTokens.Open(folder.Path)),
            source,
            options,
            clock,
            NullLogger<MorningSweep>.Instance
        );

        await sweep.RunAsync(Cancellation);
        await sweep.RunAsync(Cancellation);

        // The batches go ZIP code by ZIP code: only the cell that the end of the first falls into is read again. Cells are
        // worked out side by side, in no order.
        Assert.Equal(["cell-0", "cell-1", "cell-1"], source.Asked.Order(StringComparer.Ordinal));
        var rows = new List<OutboxMessage>();
        await foreach (var row in store.Outbox.ListAsync(Cancellation))
        {
            rows.Add(row);
        }

        Assert.Equal(Count, rows.Count);
        var end = Due + Duration.FromTimeSpan(options.MorningSpread);
        Assert.All(rows, r => Assert.InRange(r.NotBefore, Due, end));
        Assert.All(rows, r => Assert.Equal(Due + Duration.FromMinutes(150), r.NotAfter));
        // Not more than a relay takes easily in any second of the five minutes.
        var busiest = rows.GroupBy(r => r.NotBefore.ToUnixTimeSeconds()).Max(g => g.Count());
        Assert.InRange(busiest, 1, 10);
    }

    // The message is due at 11:30 and waits half an hour for a forecast.
    [Theory]
    [InlineData("10:30", "11:59:59", 0)]
    [InlineData("10:30", "12:00", 1)]
    [InlineData("13:00", "13:00", 0)] // a service that has just started has asked nobody yet
    [InlineData("13:00", "13:00:29", 0)]
    [InlineData("13:00", "13:00:30", 1)]
    public async Task A_lawn_whose_place_has_no_cell_yet_is_told_so_after_a_wait(
        string started,
        string time,
        int messages
    )
    {
        using var folder = new ScratchFolder();
        var clock = new FakeTimeProvider((Due - Duration.FromHours(2)).ToDateTimeOffset());
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = folder.Path },
            clock,
            Cancellation
        );
        await store.Subscribers.AddAsync("new@example.com", LawnIn(0), Cancellation);
        var midnight = new DateTimeOffset(2026, 5, 31, 0, 0, 0, TimeSpan.Zero);
        clock.SetUtcNow(
            midnight + TimeOnly.Parse(started, CultureInfo.InvariantCulture).ToTimeSpan()
        );
        var told = new List<Briefing>();
        var sweep = new MorningSweep(
            store,
            new MessageComposer(new SenderOptions(), LinkTokens.Open(folder.Path)),
            new CountingWeather(),
            new(),
            clock,
            NullLogger<MorningSweep>.Instance
        )
        {
            Told = (_, briefing) => told.Add(briefing),
        };
        clock.SetUtcNow(midnight + TimeOnly.Parse(time, CultureInfo.InvariantCulture).ToTimeSpan());

        await sweep.RunAsync(Cancellation);

        Assert.All(told, t => Assert.Null(t.Mowing.From));
        Assert.Equal(messages, (await store.Outbox.CountAsync(Cancellation))[OutboxState.Queued]);
    }

    private static Lawn LawnIn(int town) =>
        new()
        {
            Place = new($"0000{town + 1}", "Testville", "PA", 40, -80, "Etc/UTC"),
            Grass = GrassKind.TallFescue,
            MessageTime = new(11, 30),
        };

    /// <summary>Three mild days ahead, and who was asked about.</summary>
    private sealed class CountingWeather : ICellWeather
    {
        public ConcurrentQueue<string> Asked { get; } = [];

        public Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel)
        {
            Asked.Enqueue(cell.Id);
            var first = Instant.FromUnixTimeSeconds(now.ToUnixTimeSeconds() / 3600 * 3600);
            var hours = new WeatherSeriesBuilder(first, 72);
            foreach (var column in Enum.GetValues<WeatherColumn>())
            {
                hours[column]
                    .Fill(
                        column switch
                        {
                            WeatherColumn.AirTemperatureC => 18,
                            WeatherColumn.PrecipitationMm => 0,
                            _ => 10,
                        }
                    );
            }

            hours.Origins.Fill(new(HourKind.Forecast, "test", now));
            DataNote note = new(DataSubject.Forecast, "Test", now, DataStanding.Fresh);
            return Task.FromResult(new CellWeather(hours.Build(), [], [note]));
        }
    }
}
