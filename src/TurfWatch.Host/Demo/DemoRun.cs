using Microsoft.Extensions.Logging.Abstractions;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Demo;

/// <summary>
/// Lives through the days of one household: the service's own sweeps, store, outbox and mail folder, on
/// invented weather and a clock that is moved from morning to morning. The owners act on what they read.
/// </summary>
internal sealed class DemoRun(DemoHousehold household, string folder)
{
    private static readonly Duration History = Duration.FromDays(75);
    private static readonly Duration Beyond = Duration.FromDays(8);

    private readonly Dice _dice = new(household.Seed * 7919);
    private readonly DemoClock _clock = new();
    private Briefing? _told;

    public async Task<DemoYear> RunAsync(
        LocalDate first,
        int days,
        Action step,
        CancellationToken cancel
    )
    {
        var lawn = household.Lawn;
        var zone = lawn.Place.Zone;
        var start = zone.AtStartOfDay(first).ToInstant();
        var from = HourOf(start - History);
        var hours = (int)(start + Duration.FromDays(days) + Beyond - from).TotalHours;
        var truth = InventedYear.Draw(household.Climate, lawn.Place, from, hours, household.Seed);

        using var data = new TemporaryFolder();
        _clock.Now = start;
        await using var store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = data.Path },
            _clock,
            cancel
        );
        var added = (await store.Subscribers.AddAsync(household.Email, lawn, cancel))!;
        lawn = added.Lawns[0];
        await store.Cells.SaveAsync(Cell(lawn.Place), lawn.Place.Zip, cancel);
        await store.Journal.AddAsync(
            lawn.Id,
            new(0, JournalKind.Mowed, first.PlusDays(-4), null),
            cancel
        );

        var (morning, delivery) = Sweeps(
            store,
            data.Path,
            new DemoWeather(truth, household, first.Year)
        );
        var year = new List<DemoDay>(days);
        for (var d = 0; d < days; d++)
        {
            var date = first.PlusDays(d);
            var due = (date + lawn.MessageTime).InZoneLeniently(zone).ToInstant();
            _clock.Now = due - Duration.FromMinutes(15);
            await morning.RunAsync(cancel);
            _clock.Now = due;
            await delivery.RunAsync(cancel);
            year.Add(await RecordAsync(store, lawn, date, truth, data.Path, cancel));
            step();
        }

        return new DemoYear(household, year);
    }

    private (MorningSweep Morning, DeliverySweep Delivery) Sweeps(
        TurfStore store,
        string data,
        ICellWeather weather
    )
    {
        var composer = new MessageComposer(
            new SenderOptions
            {
                PostalAddress = "TurfWatch demo, 1 Nowhere Lane",
                PublicBaseUrl = new Uri("https://lawn.example.org"),
            },
            LinkTokens.Open(data)
        );
        var morning = new MorningSweep(
            store,
            composer,
            weather,
            new JobsOptions { MorningSpread = TimeSpan.Zero },
            _clock,
            NullLogger<MorningSweep>.Instance
        )
        {
            Told = (_, briefing) => _told = briefing,
        };
        var delivery = new DeliverySweep(
            store,
            new FolderTransport(Path.Combine(data, "mail")),
            _clock,
            new DeliveryOptions { PerSecond = 0, PerDomainPerSecond = 0 },
            NullLogger<DeliverySweep>.Instance,
            new Random(household.Seed)
        );
        return (morning, delivery);
    }

    private async Task<DemoDay> RecordAsync(
        TurfStore store,
        Lawn lawn,
        LocalDate date,
        WeatherSeries truth,
        string data,
        CancellationToken cancel
    )
    {
        var briefing =
            _told ?? throw new InvalidOperationException($"no morning was worked out for {date}");
        _told = null;
        var delivered = Directory.GetFiles(Path.Combine(data, "mail"), "*.eml");
        var eml = delivered is [var only]
            ? only
            : throw new InvalidOperationException(
                $"{delivered.Length} messages were delivered for {date}, not one"
            );
        using var mime = await MimeMessage.LoadAsync(eml, cancel);
        var name = $"{household.Key}/{date:uuuu-MM-dd}";
        await File.WriteAllTextAsync(Path.Combine(folder, name + ".html"), mime.HtmlBody, cancel);
        await File.WriteAllTextAsync(Path.Combine(folder, name + ".txt"), mime.TextBody, cancel);
        File.Move(eml, Path.Combine(folder, name + ".eml"), overwrite: true);

        var advice = briefing.Mowing;
        var mows =
            advice.Verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom
            && _dice.Even() < household.Diligence;
        if (mows)
        {
            await store.Journal.AddAsync(lawn.Id, new(0, JournalKind.Mowed, date, null), cancel);
        }

        var day = DayOf(truth, lawn.Place.Zone, date);
        var air = day[WeatherColumn.AirTemperatureC].ToArray();
        return new DemoDay(
            date,
            mime.Subject ?? "",
            name + ".html",
            advice,
            mows,
            air.Max(),
            air.Min(),
            day[WeatherColumn.PrecipitationMm].ToArray().Sum()
        );
    }

    private static WeatherSeries DayOf(WeatherSeries truth, DateTimeZone zone, LocalDate date) =>
        truth.Slice(
            zone.AtStartOfDay(date).ToInstant() + Duration.FromHours(1),
            zone.AtStartOfDay(date.PlusDays(1)).ToInstant()
        );

    private WeatherCell Cell(Place place) =>
        new()
        {
            Id = $"at:{place.LatitudeDeg:0.00},{place.LongitudeDeg:0.00}",
            LatitudeDeg = place.LatitudeDeg,
            LongitudeDeg = place.LongitudeDeg,
            ElevationM = household.ElevationM,
            ResolvedAt = _clock.Now,
        };

    private static Instant HourOf(Instant instant) =>
        Instant.FromUnixTimeSeconds(instant.ToUnixTimeSeconds() / 3600 * 3600);

    /// <summary>The invented weather as the sweep asks for it.</summary>
    private sealed class DemoWeather(WeatherSeries truth, DemoHousehold household, int year)
        : ICellWeather
    {
        private readonly InventedWeather _weather = new(
            truth,
            household.Seed,
            InventedPast.Climate(household, year)
        );

        public Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel) =>
            Task.FromResult(_weather.At(now, History));
    }
}
