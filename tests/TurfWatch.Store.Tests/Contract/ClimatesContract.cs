using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class ClimatesContract : StoreContract
{
    private static readonly WeatherCell Cell = new()
    {
        Id = "nws:EWX/120,52",
        LatitudeDeg = 29.42,
        LongitudeDeg = -98.49,
        ResolvedAt = Start,
    };

    [Fact]
    public async Task A_climate_replaces_the_former_one_and_survives_a_restart()
    {
        await Store.Cells.SaveAsync(Cell, "78205", Cancellation);
        Assert.Null(await Store.Climates.LoadAsync(Cell.Id, Cancellation));
        await Store.Climates.SaveAsync(Cell.Id, Climate(8), Years(8), Cancellation);
        Advance(Duration.FromDays(365));
        await Store.Climates.SaveAsync(Cell.Id, Climate(9.25), Years(9.25), Cancellation);

        await RestartAsync();
        var kept = (await Store.Climates.LoadAsync(Cell.Id, Cancellation))!;
        Assert.Equal(Now, kept.FetchedAt);
        Assert.Equal(9.25, kept.Climate.MeanC[59]);
        Assert.Equal(
            (2006, 2025, 20),
            (kept.Climate.FirstYear, kept.Climate.LastYear, kept.Climate.Years)
        );
        Assert.Equal(Climate(0).ColdSeasons, kept.Climate.ColdSeasons);
        var years = (await Store.Climates.LoadYearsAsync(Cell.Id, Cancellation))!;
        Assert.Equal(Now, years.FetchedAt);
        Assert.Equal(Years(9.25).Days.AsEnumerable(), years.Years.Days);
        Assert.Null(await Store.Climates.LoadYearsAsync("at:1,1", Cancellation));
    }

    [Fact]
    public async Task Due_are_cells_in_use_without_one_or_with_an_old_one()
    {
        var ann = await SubscribeAsync();
        Assert.Empty(await DueAsync());
        await Store.Cells.SaveAsync(Cell, "00000", Cancellation);
        await Store.Cells.SaveAsync(Cell with { Id = "at:1,1" }, "11111", Cancellation);
        Assert.Equal([Cell.Id], await DueAsync());

        await Store.Climates.SaveAsync(Cell.Id, Climate(8), Years(8), Cancellation);
        Assert.Empty(await DueAsync());
        Advance(Duration.FromDays(365));
        Assert.Empty(await DueAsync());
        Advance(Duration.FromSeconds(1));
        Assert.Equal([Cell.Id], await DueAsync());

        await Store.Subscribers.SetStatusAsync(
            ann.Subscriber.Id,
            SubscriberStatus.Left,
            null,
            Cancellation
        );
        Assert.Empty(await DueAsync());

        async Task<IEnumerable<string>> DueAsync() =>
            (await Store.Climates.DueAsync(Now - Duration.FromDays(365), Cancellation)).Select(c =>
                c.Id
            );
    }

    private static PlaceClimate Climate(double meanC) =>
        new()
        {
            FirstYear = 2006,
            LastYear = 2025,
            Years = 20,
            MeanC = Table(meanC),
            MinC = Table(meanC - 5),
            MaxC = Table(meanC + 5),
            RainMm = Table(2),
            ColdSeasons =
            [
                new(2006, new LocalDate(2006, 11, 10), new LocalDate(2007, 3, 3)),
                new(2007, null, null),
            ],
        };

    /// <summary>Two years, one day of which is not known.</summary>
    private static PastYears Years(double meanC) =>
        new([
            .. Enumerable
                .Range(0, 730)
                .Select(new LocalDate(2024, 1, 1).PlusDays)
                .Select(day =>
                    day == new LocalDate(2024, 2, 29)
                        ? new ClimateDay(day, double.NaN, double.NaN, double.NaN, double.NaN)
                        : new ClimateDay(day, meanC, meanC - 5, meanC + 5, 2.5, 4, 3, 18)
                ),
        ]);

    private static double[] Table(double value) => [.. Enumerable.Repeat(value, PlaceClimate.Days)];
}
