using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

public abstract class WeatherContract : StoreContract
{
    private static readonly SurfaceClass Surface = new(
        CanopyState.Active,
        Shade.Sun,
        true,
        SoilTexture.Loam,
        true
    );

    private static WeatherCell Cell(string id = "nws:EWX/120,52") =>
        new()
        {
            Id = id,
            LatitudeDeg = 29.42,
            LongitudeDeg = -98.49,
            ElevationM = 198,
            GridId = "EWX",
            GridX = 120,
            GridY = 52,
            StationIds = ["KSAT", "KSSF"],
            ResolvedAt = Start,
        };

    [Fact]
    public async Task A_cell_is_found_by_zip_and_a_zip_can_move_to_another()
    {
        var cell = Cell();
        await Store.Cells.SaveAsync(cell, "78205", Cancellation);
        await Store.Cells.SaveAsync(cell with { ElevationM = 200 }, "00501", Cancellation);

        await RestartAsync();
        Assert.Equivalent(
            cell with
            {
                ElevationM = 200,
            },
            await Store.Cells.FindByZipAsync("78205", Cancellation),
            strict: true
        );
        Assert.Null(await Store.Cells.FindByZipAsync("99999", Cancellation));

        var moved = Cell("at:40.82,-73.05");
        await Store.Cells.SaveAsync(moved, "00501", Cancellation);
        Assert.Equal(moved.Id, (await Store.Cells.FindByZipAsync("00501", Cancellation))!.Id);
    }

    [Fact]
    public async Task Cells_in_use_are_those_of_active_subscribers_lawns()
    {
        var ann = await SubscribeAsync();
        Assert.Equal(
            "00000",
            Assert.Single(await Store.Cells.PlacesWithoutCellAsync(Cancellation)).Zip
        );
        Assert.Empty(await Store.Cells.InUseAsync(Cancellation));

        await Store.Cells.SaveAsync(Cell(), "00000", Cancellation);
        await Store.Cells.SaveAsync(Cell("at:1,1"), "11111", Cancellation);
        Assert.Empty(await Store.Cells.PlacesWithoutCellAsync(Cancellation));
        Assert.Equal(Cell().Id, Assert.Single(await Store.Cells.InUseAsync(Cancellation)).Id);
        Assert.Equal(
            ann.Lawns[0].Id,
            Assert.Single(await Store.Cells.LawnsAsync(Cell().Id, Cancellation)).Id
        );

        await Store.Subscribers.SetStatusAsync(
            ann.Subscriber.Id,
            SubscriberStatus.Left,
            null,
            Cancellation
        );
        Assert.Empty(await Store.Cells.InUseAsync(Cancellation));
        Assert.Empty(await Store.Cells.LawnsAsync(Cell().Id, Cancellation));
    }

    [Fact]
    public async Task Hours_come_back_with_values_gaps_and_origins()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        var issued = Start - Duration.FromHours(1);
        var hours = Series(Start, 60, HourKind.Forecast, "nws", issued, i => 20.1 + i / 10.0);
        await Store.WeatherHours.SaveAsync(Cell().Id, hours, Cancellation);

        await RestartAsync();
        var kept = await LoadAsync(Start, Start + Duration.FromHours(59));

        Assert.Equal((Start, 60), (kept.FirstHourEnd, kept.Count));
        for (var i = 0; i < 60; i++)
        {
            Assert.Equal(
                Math.Round(20.1 + i / 10.0, 4),
                kept[WeatherColumn.AirTemperatureC][i],
                10
            );
            Assert.True(double.IsNaN(kept[WeatherColumn.ShortwaveWM2][i]));
        }

        Assert.Equal(new(HourKind.Forecast, "nws", issued), kept.Origins[59]);
        var cut = await LoadAsync(Start + Duration.FromHours(30), Start + Duration.FromHours(90));
        Assert.Equal((Start + Duration.FromHours(30), 30), (cut.FirstHourEnd, cut.Count));
        Assert.Equal(
            0,
            (await LoadAsync(Start - Duration.FromDays(9), Start - Duration.FromDays(8))).Count
        );
    }

    [Fact]
    public async Task A_better_origin_stands_over_a_worse_one_in_whatever_order_they_are_saved()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        var then = Start - Duration.FromDays(2);
        var old = then - Duration.FromHours(30);
        WeatherSeries[] layers =
        [
            Series(then, 24, HourKind.Forecast, "nws", old, _ => 1, WeatherColumn.WindSpeedMS),
            Series(then, 18, HourKind.Analysed, "nasa-power", null, _ => 2),
            Series(then, 12, HourKind.Measured, "nws-obs", null, i => i % 2 == 0 ? 3 : double.NaN),
        ];

        foreach (var order in new[] { new[] { 0, 1, 2 }, [2, 1, 0], [1, 2, 0] })
        {
            await Store.WeatherHours.PruneAsync(Start + Duration.FromDays(9), Cancellation);
            foreach (var layer in order)
            {
                await Store.WeatherHours.SaveAsync(Cell().Id, layers[layer], Cancellation);
            }

            var kept = await LoadAsync(then, Start);
            Assert.Equal(24, kept.Count);
            Assert.Equal([3, 2, 3, 2], kept[WeatherColumn.AirTemperatureC][..4].ToArray());
            Assert.Equal(2, kept[WeatherColumn.AirTemperatureC][17]);
            Assert.Equal(1, kept[WeatherColumn.AirTemperatureC][18]);
            // What only the worse one knows shows through.
            Assert.Equal(1, kept[WeatherColumn.WindSpeedMS][0]);
            Assert.Equal(
                (HourKind.Measured, HourKind.Analysed, HourKind.Forecast),
                (kept.Origins[0].Kind, kept.Origins[17].Kind, kept.Origins[18].Kind)
            );
        }
    }

    [Fact]
    public async Task A_newer_forecast_replaces_the_older_one()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        var later = Start + Duration.FromHours(1);
        await Store.WeatherHours.SaveAsync(
            Cell().Id,
            Series(later, 5, HourKind.Forecast, "nws", Start, _ => 10),
            Cancellation
        );
        await Store.WeatherHours.SaveAsync(
            Cell().Id,
            Series(later, 3, HourKind.Forecast, "nws", later, _ => 12),
            Cancellation
        );

        var kept = await LoadAsync(later, later + Duration.FromHours(9));
        Assert.Equal([12, 12, 12, 10, 10], kept[WeatherColumn.AirTemperatureC].ToArray());
        Assert.Equal(later, kept.Origins[2].IssuedAt);
        Assert.Equal(Start, kept.Origins[3].IssuedAt);
    }

    [Fact]
    public async Task A_forecast_hour_that_has_passed_becomes_the_cells_history_if_it_was_recent()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        await Store.WeatherHours.SaveAsync(
            Cell().Id,
            Series(Start + Duration.FromHours(1), 12, HourKind.Forecast, "nws", Start, _ => 10),
            Cancellation
        );

        Advance(Duration.FromHours(9));
        var kept = await LoadAsync(Start, Start + Duration.FromHours(12));

        // Lead 1 to 6 h and passed; passed but foretold 7 h or more before; still to come.
        Assert.Equal(
            [
                .. Enumerable.Repeat(HourKind.Analysed, 6),
                .. Enumerable.Repeat(HourKind.Forecast, 6),
            ],
            kept.Origins.ToArray().Select(o => o.Kind)
        );
        Assert.All(
            kept.Origins.ToArray(),
            o => Assert.Equal(("nws", (Instant?)Start), (o.Source, o.IssuedAt))
        );
    }

    [Fact]
    public async Task Warnings_and_notes_of_the_last_fetch_are_kept_with_the_hours()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        Assert.Empty(
            (await Store.WeatherHours.LoadAsync(Cell().Id, Start, Start, Cancellation)).Notes
        );
        var weather = new CellWeather(
            Series(Start, 1, HourKind.Forecast, "nws", Start, _ => 20),
            [new("Frost Advisory", "Minor", Start, null, "NWS Austin/San Antonio TX")],
            [
                new(DataSubject.Forecast, "US National Weather Service", Start, DataStanding.Fresh),
                new(DataSubject.History, "NASA POWER", null, DataStanding.Missing, "no answer"),
            ]
        );
        await Store.WeatherHours.SaveAsync(Cell().Id, weather, Cancellation);

        var kept = await Store.WeatherHours.LoadAsync(Cell().Id, Start, Start, Cancellation);
        Assert.Equal(weather.Hazards.AsEnumerable(), kept.Hazards.AsEnumerable());
        Assert.Equal(weather.Notes.AsEnumerable(), kept.Notes.AsEnumerable());
        Assert.Equal(1, kept.Hours.Count);
    }

    [Fact]
    public async Task Wind_at_another_height_is_refused()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        var hours = new WeatherSeriesBuilder(Start, 1, windHeightM: 2).Build();
        var e = await Assert.ThrowsAsync<ArgumentException>(() =>
            Store.WeatherHours.SaveAsync(Cell().Id, hours, Cancellation)
        );
        Assert.StartsWith(
            "wind at 2 m cannot be kept; bring it to 10 m first",
            e.Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Pruning_drops_whole_days_only()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        await Store.WeatherHours.SaveAsync(
            Cell().Id,
            Series(Start, 72, HourKind.Analysed, "nasa-power", null, _ => 5),
            Cancellation
        );

        // 12 hours end on the first day, so the second day begins with the 13th.
        Assert.Equal(
            1,
            await Store.WeatherHours.PruneAsync(Start + Duration.FromHours(30), Cancellation)
        );
        var kept = await LoadAsync(Start, Start + Duration.FromDays(9));
        Assert.Equal((Start + Duration.FromHours(12), 60), (kept.FirstHourEnd, kept.Count));
    }

    [Fact]
    public async Task A_site_state_replaces_the_former_one()
    {
        await Store.Cells.SaveAsync(Cell(), "78205", Cancellation);
        Assert.Null(await Store.SiteStates.LoadAsync(Cell().Id, Surface, Cancellation));
        await SaveAsync(Start, [1, 2, 3]);
        await SaveAsync(Start + Duration.FromHours(1), [4]);

        await RestartAsync();
        var kept = await Store.SiteStates.LoadAsync(Cell().Id, Surface, Cancellation);
        Assert.Equal(Start + Duration.FromHours(1), kept!.ValidAt);
        Assert.Equal([4], kept.Body);
        Assert.Null(
            await Store.SiteStates.LoadAsync(
                Cell().Id,
                Surface with
                {
                    Shade = Shade.Full,
                },
                Cancellation
            )
        );

        Task SaveAsync(Instant at, byte[] body) =>
            Store.SiteStates.SaveAsync(Cell().Id, Surface, new(at, body), Cancellation);
    }

    private async Task<WeatherSeries> LoadAsync(Instant from, Instant to) =>
        (await Store.WeatherHours.LoadAsync(Cell().Id, from, to, Cancellation)).Hours;

    private static WeatherSeries Series(
        Instant first,
        int count,
        HourKind kind,
        string source,
        Instant? issued,
        Func<int, double> value,
        params WeatherColumn[] more
    )
    {
        var builder = new WeatherSeriesBuilder(first, count);
        for (var i = 0; i < count; i++)
        {
            builder.Origins[i] = new(kind, source, issued);
            builder[WeatherColumn.AirTemperatureC][i] = value(i);
            foreach (var column in more)
            {
                builder[column][i] = value(i);
            }
        }

        return builder.Build();
    }
}
