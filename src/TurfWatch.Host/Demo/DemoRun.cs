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
    private static readonly Duration SeasonAfter = Duration.FromMinutes(10);

    private readonly DemoOwner _owner = new(household, new Dice(household.Seed * 7919));
    private readonly DemoClock _clock = new();
    private readonly DemoWindows _windows = new();
    private Briefing? _told;
    private SeasonTold? _season;

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
        var years = InventedPast.Years(household, first.Year);
        var climate = InventedPast.Climate(years);

        using var data = new TemporaryFolder();
        _clock.Now = start;
        await using var store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = data.Path },
            _clock,
            cancel
        );
        var added = (await store.Subscribers.AddAsync(household.Email, lawn, cancel))!;
        lawn = added.Lawns[0];
        var cell = Cell(lawn.Place);
        await store.Cells.SaveAsync(cell, lawn.Place.Zip, cancel);
        await store.Climates.SaveAsync(cell.Id, climate, years, cancel);
        await store.Journal.AddAsync(
            lawn.Id,
            new(0, JournalKind.Mowed, first.PlusDays(-4), null),
            cancel
        );

        var (morning, season, delivery) = Sweeps(
            store,
            data.Path,
            new DemoWeather(truth, household, climate)
        );
        var year = new List<DemoDay>(days);
        for (var d = 0; d < days; d++)
        {
            var date = first.PlusDays(d);
            var due = LocalDue.At(date, lawn.MessageTime, zone);
            _clock.Now = due - Duration.FromMinutes(15);
            await morning.RunAsync(cancel);
            _clock.Now = due;
            await delivery.RunAsync(cancel);
            var message = await MorningAsync(date, data.Path, cancel);
            _clock.Now = due + SeasonAfter;
            await season.RunAsync(cancel);
            await delivery.RunAsync(cancel);
            var mails = await SeasonAsync(date, data.Path, cancel);
            year.Add(await ActAsync(store, lawn, date, truth, message, mails, cancel));
            step();
        }

        return new DemoYear(household, year, _windows.All);
    }

    private (MorningSweep Morning, SeasonSweep Season, DeliverySweep Delivery) Sweeps(
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
        var jobs = new JobsOptions
        {
            MorningSpread = TimeSpan.Zero,
            SeasonAfter = SeasonAfter.ToTimeSpan(),
        };
        var morning = new MorningSweep(
            store,
            composer,
            weather,
            jobs,
            _clock,
            NullLogger<MorningSweep>.Instance
        )
        {
            Told = (_, briefing) => _told = briefing,
        };
        var season = new SeasonSweep(
            store,
            composer,
            weather,
            jobs,
            _clock,
            NullLogger<SeasonSweep>.Instance
        )
        {
            Told = told => _season = told,
        };
        var delivery = new DeliverySweep(
            store,
            new FolderTransport(Path.Combine(data, "mail")),
            _clock,
            new DeliveryOptions { PerSecond = 0, PerDomainPerSecond = 0 },
            NullLogger<DeliverySweep>.Instance,
            new Random(household.Seed)
        );
        return (morning, season, delivery);
    }

    private async Task<(Briefing Briefing, string Subject, string File)> MorningAsync(
        LocalDate date,
        string data,
        CancellationToken cancel
    )
    {
        var briefing =
            _told ?? throw new InvalidOperationException($"no morning was worked out for {date}");
        _told = null;
        var delivered = Delivered(data);
        var eml = delivered is [var only]
            ? only
            : throw new InvalidOperationException(
                $"{delivered.Length} messages were delivered for {date}, not one"
            );
        using var mime = await MimeMessage.LoadAsync(eml, cancel);
        return (briefing, mime.Subject ?? "", await KeepAsync(eml, mime, $"{date:uuuu-MM-dd}"));
    }

    /// <summary>The alerts and the digest of a morning, in the order in which they were worked out.</summary>
    private async Task<List<DemoMail>> SeasonAsync(
        LocalDate date,
        string data,
        CancellationToken cancel
    )
    {
        var season =
            _season ?? throw new InvalidOperationException($"no season was worked out for {date}");
        _season = null;
        _windows.Hear(season);
        var delivered = new Dictionary<string, (string File, MimeMessage Mime)>(
            StringComparer.Ordinal
        );
        foreach (var file in Delivered(data))
        {
            var mime = await MimeMessage.LoadAsync(file, cancel);
            delivered.Add(mime.MessageId ?? "", (file, mime));
        }

        // Files are named by chance, and what the owner hears first he does first.
        var mails = new List<DemoMail>();
        foreach (var (content, message) in season.Messages)
        {
            if (!delivered.Remove(message.MessageId, out var mail))
            {
                continue;
            }

            using var mime = mail.Mime;
            var alert = content as SeasonAlert;
            var name = alert is null
                ? $"{date:uuuu-MM-dd}-digest"
                : $"{date:uuuu-MM-dd}-{alert.Window.Key}-{alert.Event}"
                    .Replace(':', '-')
                    .ToLowerInvariant();
            mails.Add(
                new(
                    content.Kind,
                    alert?.Event,
                    mime.Subject ?? "",
                    await KeepAsync(mail.File, mime, name)
                )
            );
            if (alert is not null)
            {
                _owner.Hear(alert);
            }
        }

        if (delivered.Count > 0)
        {
            throw new InvalidOperationException(
                $"{delivered.Count} messages were delivered on {date} that no season told of"
            );
        }

        return mails;
    }

    private async Task<DemoDay> ActAsync(
        TurfStore store,
        Lawn lawn,
        LocalDate date,
        WeatherSeries truth,
        (Briefing Briefing, string Subject, string File) message,
        List<DemoMail> mails,
        CancellationToken cancel
    )
    {
        var day = DayOf(truth, lawn.Place.Zone, date);
        var air = day[WeatherColumn.AirTemperatureC].ToArray();
        var rain = day[WeatherColumn.PrecipitationMm].ToArray().Sum();
        var advice = message.Briefing.Mowing;
        var mows = advice.Verdict is MowingVerdict.MowNow or MowingVerdict.MowFrom && _owner.Mows();
        var deeds = _owner.Deeds(date, rain);
        foreach (var deed in deeds)
        {
            await store.Journal.AddAsync(lawn.Id, deed, cancel);
        }

        if (mows)
        {
            await store.Journal.AddAsync(lawn.Id, new(0, JournalKind.Mowed, date, null), cancel);
        }

        return new DemoDay(
            date,
            message.Subject,
            message.File,
            advice,
            mows,
            air.Max(),
            air.Min(),
            rain,
            mails,
            deeds
        );
    }

    private static string[] Delivered(string data)
    {
        var mail = Path.Combine(data, "mail");
        return Directory.Exists(mail)
            ? [.. Directory.GetFiles(mail, "*.eml").Order(StringComparer.Ordinal)]
            : [];
    }

    /// <summary>Moves a delivered message into the demo folder, with its page and its text.</summary>
    private async Task<string> KeepAsync(string eml, MimeMessage mime, string name)
    {
        var file = $"{household.Key}/{name}";
        await File.WriteAllTextAsync(Path.Combine(folder, file + ".html"), Page(mime));
        await File.WriteAllTextAsync(Path.Combine(folder, file + ".txt"), mime.TextBody);
        File.Move(eml, Path.Combine(folder, file + ".eml"), overwrite: true);
        return file + ".html";
    }

    /// <summary>The HTML part as a page of its own: pictures that the mail carries beside it are set into it.</summary>
    private static string Page(MimeMessage mime)
    {
        var html = mime.HtmlBody ?? "";
        foreach (
            var picture in mime.BodyParts.OfType<MimePart>().Where(p => p.ContentId is not null)
        )
        {
            using var bytes = new MemoryStream();
            picture.Content!.DecodeTo(bytes);
            html = html.Replace(
                "cid:" + picture.ContentId,
                $"data:{picture.ContentType.MimeType};base64,{Convert.ToBase64String(bytes.ToArray())}",
                StringComparison.Ordinal
            );
        }

        return html;
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
    private sealed class DemoWeather(
        WeatherSeries truth,
        DemoHousehold household,
        PlaceClimate climate
    ) : ICellWeather
    {
        private readonly InventedWeather _weather = new(truth, household.Seed, climate);

        public Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel) =>
            Task.FromResult(_weather.At(now, History));
    }
}
