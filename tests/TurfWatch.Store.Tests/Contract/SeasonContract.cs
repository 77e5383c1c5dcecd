using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class SeasonContract : StoreContract
{
    private static readonly SurfaceClass Green = new(
        CanopyState.Active,
        Shade.Sun,
        true,
        SoilTexture.Loam,
        true
    );

    private static readonly WeatherCell Cell = new()
    {
        Id = "nws:EWX/120,52",
        LatitudeDeg = 29.42,
        LongitudeDeg = -98.49,
        ResolvedAt = Start,
    };

    [Fact]
    public async Task The_days_of_the_year_are_kept_for_each_surface_class_and_survive_a_restart()
    {
        await Store.Cells.SaveAsync(Cell, "78205", Cancellation);
        Assert.Null(await Store.YearDays.LoadAsync(Cell.Id, Green, Cancellation));
        await Store.YearDays.SaveAsync(Cell.Id, Green, Days(10), Cancellation);
        await Store.YearDays.SaveAsync(Cell.Id, Green, Days(12.5), Cancellation);

        await RestartAsync();
        var kept = (await Store.YearDays.LoadAsync(Cell.Id, Green, Cancellation))!;
        Assert.Equal((new LocalDate(2026, 10, 1), 3), (kept.First, kept.Count));
        Assert.Equal([12.5, double.NaN, 12.5], kept.Soil10CmC);
        var dormant = Green with { Canopy = CanopyState.Dormant };
        Assert.Null(await Store.YearDays.LoadAsync(Cell.Id, dormant, Cancellation));
    }

    [Fact]
    public async Task Past_soil_is_given_back_for_the_years_and_the_physics_that_it_was_made_with()
    {
        await Store.Cells.SaveAsync(Cell, "78205", Cancellation);
        await Store.PastSoils.SaveAsync(Cell.Id, Green, Start, "a", Days(10), Cancellation);
        await RestartAsync();

        Assert.NotNull(await LoadAsync(Start, "a"));
        Assert.Null(await LoadAsync(Start, "b"));
        Assert.Null(await LoadAsync(Start + Duration.FromDays(365), "a"));

        await Store.PastSoils.SaveAsync(Cell.Id, Green, Start, "b", Days(11), Cancellation);
        Assert.Null(await LoadAsync(Start, "a"));
        Assert.Equal(11, (await LoadAsync(Start, "b"))!.Soil10CmC[0]);

        Task<SiteDays?> LoadAsync(Instant yearsAt, string physics) =>
            Store.PastSoils.LoadAsync(Cell.Id, Green, yearsAt, physics, Cancellation);
    }

    [Fact]
    public async Task A_lawn_is_due_once_its_morning_came_and_until_it_is_planned()
    {
        // Start is 06:00 in Chicago; the morning is at 06:30.
        var ann = await SubscribeAsync();
        Assert.Empty(await DueAsync());
        Advance(Duration.FromMinutes(29));
        Assert.Empty(await DueAsync());
        Advance(Duration.FromMinutes(1));
        var due = Assert.Single(await DueAsync());
        Assert.Equal(
            (ann.Subscriber.Id, ann.Lawns[0].Id, new LocalDate(2026, 11, 25), Now),
            (due.Subscriber.Id, due.Lawn.Id, due.Date, due.DueAt)
        );

        Assert.Equal(0, await Store.SeasonPlans.CommitAsync(due, [], Cancellation));
        Assert.Empty(await DueAsync());
        Advance(Duration.FromHours(24));
        due = Assert.Single(await DueAsync());
        Assert.Equal(new LocalDate(2026, 11, 26), due.Date);

        // Days that were missed are not made up for: one plan, for the newest.
        Advance(Duration.FromDays(3));
        Assert.Equal(new(2026, 11, 29), Assert.Single(await DueAsync()).Date);
        await Store.Subscribers.SetStatusAsync(
            ann.Subscriber.Id,
            SubscriberStatus.Left,
            null,
            Cancellation
        );
        Assert.Empty(await DueAsync());
    }

    [Fact]
    public async Task A_lawn_that_came_after_todays_morning_is_due_tomorrow()
    {
        Advance(Duration.FromHours(2));
        await SubscribeAsync();
        Assert.Empty(await DueAsync());
        Advance(Duration.FromHours(23));
        Assert.Single(await DueAsync());
    }

    [Fact]
    public async Task Messages_and_mark_are_written_together_or_not_at_all()
    {
        var ann = await SubscribeAsync();
        Advance(Duration.FromHours(1));
        var due = (await DueAsync())[0];
        var alert = Alert(ann, "Overseed:2026:Opened#1");
        var broken = alert with { Key = null! };
        await Assert.ThrowsAnyAsync<Exception>(() =>
            Store.SeasonPlans.CommitAsync(due, [alert, broken], Cancellation)
        );

        Assert.Empty(await KeysAsync(ann));
        Assert.Single(await DueAsync());
        Assert.Equal(1, await Store.SeasonPlans.CommitAsync(due, [alert], Cancellation));
        // Another worker that planned the same day comes too late.
        Assert.Null(
            await Store.SeasonPlans.CommitAsync(
                due,
                [Alert(ann, "Dormancy:2026:Opened#1")],
                Cancellation
            )
        );
        Assert.Equal(["Overseed:2026:Opened#1"], await KeysAsync(ann));
    }

    [Fact]
    public async Task A_key_outlives_the_text_of_its_message_and_is_never_queued_again()
    {
        var ann = await SubscribeAsync();
        var alert = Alert(ann, "Overseed:2026:Opened#1");
        Advance(Duration.FromHours(1));
        await Store.SeasonPlans.CommitAsync((await DueAsync())[0], [alert], Cancellation);
        var claimed = (
            await Store.Outbox.ClaimAsync("w", 9, Duration.FromMinutes(1), Cancellation)
        )[0];
        await Store.Outbox.BeginSendingAsync(claimed, Duration.FromMinutes(1), Cancellation);
        await Store.Outbox.CompleteAsync(claimed, OutboxOutcome.Sent("250 taken"), Cancellation);

        Advance(Duration.FromDays(60));
        Assert.Equal(1, await Store.Outbox.PruneAsync(Now, Cancellation));
        await RestartAsync();
        Assert.Equal(["Overseed:2026:Opened#1"], await KeysAsync(ann));
        Assert.Equal(
            0,
            await Store.SeasonPlans.CommitAsync((await DueAsync())[0], [alert], Cancellation)
        );
    }

    private async Task<List<DueSeason>> DueAsync()
    {
        var due = new List<DueSeason>();
        await foreach (var season in Store.SeasonPlans.DueAsync(Now, Cancellation))
        {
            due.Add(season);
        }

        return due;
    }

    private Task<IReadOnlySet<string>> KeysAsync(SubscriberLawns who) =>
        Store.SeasonPlans.AlertKeysAsync(who.Subscriber.Id, who.Lawns[0].Id, Cancellation);

    private OutboxMessage Alert(SubscriberLawns to, string key) =>
        Samples.Message(to.Subscriber, Now, key, MessageKind.Alert, Duration.FromDays(5));

    private static SiteDays Days(double soilC)
    {
        double[] Column(double value) => [value, double.NaN, value];
        return new()
        {
            First = new(2026, 10, 1),
            Soil5CmC = Column(soilC),
            Soil10CmC = Column(soilC),
            AirMeanC = Column(15),
            AirMinC = Column(8),
            AirMaxC = Column(22),
            RainMm = Column(1.5),
            Et0Mm = Column(3.25),
            ShortwaveMJM2 = Column(16),
            HumidityPercent = Column(60),
            WetHours = Column(7),
            AvailableWater = Column(0.5),
        };
    }
}
