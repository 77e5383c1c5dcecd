using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Jobs;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Jobs;

/// <summary>From the weather services' answers to a message in the mail folder, through the running service.</summary>
public sealed class ServeEndToEndTests : IDisposable
{
    // A few seconds before half past six in Tucson, where the clocks never change.
    private static readonly Instant Morning = Instant.FromUtc(2026, 5, 31, 13, 29, 57);

    private readonly Scratch _scratch = new();
    private readonly Place _tucson = ZipDirectory.Lookup("85719").Place!;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task A_message_made_of_the_services_numbers_lands_once_also_after_a_restart()
    {
        using var weather = new StubWeather(_tucson, Morning);
        var clock = new ShiftedClock(TimeProvider.System, Morning - Duration.FromSeconds(20));
        await using (var rig = await ServiceRig.StartAsync(_scratch, clock, Sources(weather)))
        {
            await AddAsync(rig);
            await Wait.UntilAsync(() => Mail().Length > 0);
            await rig.SweptAsync(clock, JobNames.Morning, JobNames.Deliver);
        }

        var text = await ReadAsync();
        Assert.Contains("Tucson", text, StringComparison.Ordinal);
        Assert.Contains("US National Weather Service", text, StringComparison.Ordinal);
        Assert.Contains("List-Unsubscribe", text, StringComparison.Ordinal);
        Assert.DoesNotContain("not available", text, StringComparison.OrdinalIgnoreCase);

        await using (var again = await ServiceRig.StartAsync(_scratch, clock, Sources(weather)))
        {
            await again.SweptAsync(clock, JobNames.Fetch, JobNames.Morning, JobNames.Deliver);
        }

        Assert.Single(Mail());
    }

    [Fact]
    public async Task Without_any_weather_the_message_waits_then_goes_out_and_says_so()
    {
        // 31 minutes past its time: the wait for a forecast is over.
        var clock = new ShiftedClock(TimeProvider.System, Morning - Duration.FromMinutes(20));
        var late = new ShiftedClock(TimeProvider.System, Morning + Duration.FromMinutes(31));
        const string Dead =
            "\"Nws\": { \"BaseAddress\": \"http://127.0.0.1:9\", \"Retries\": 0 }, \"NasaPower\": { \"BaseAddress\": \"http://127.0.0.1:9\", \"Retries\": 0 }";
        await using (var rig = await ServiceRig.StartAsync(_scratch, clock, Dead))
        {
            await AddAsync(rig);
            await rig.SweptAsync(clock, JobNames.Fetch);
            await rig.SweptAsync(clock, JobNames.Morning, JobNames.Deliver);

            Assert.Empty(Mail());
            Assert.Contains(rig.Health.Troubles(), t => t.Area == "weather");
        }

        await using (var rig = await ServiceRig.StartAsync(_scratch, late, Dead))
        {
            await Wait.UntilAsync(() => Mail().Length > 0);
        }

        Assert.Contains("weather", await ReadAsync(), StringComparison.OrdinalIgnoreCase);
        Assert.Contains("could not be reached", await ReadAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task After_an_outage_of_hours_nothing_is_sent_late_and_the_miss_is_on_record()
    {
        using var weather = new StubWeather(_tucson, Morning);
        var early = new ShiftedClock(TimeProvider.System, Morning - Duration.FromHours(3));
        var noon = new ShiftedClock(TimeProvider.System, Morning + Duration.FromHours(5));
        await using (var rig = await ServiceRig.StartAsync(_scratch, early, Sources(weather)))
        {
            await AddAsync(rig);
        }

        await using (var rig = await ServiceRig.StartAsync(_scratch, noon, Sources(weather)))
        {
            await rig.SweptAsync(noon, JobNames.Morning, JobNames.Deliver);
            var counts = await rig.Store.Outbox.CountAsync(TestContext.Current.CancellationToken);

            Assert.Equal(1, counts[OutboxState.Expired]);
        }

        Assert.Empty(Mail());
    }

    [Fact]
    public async Task The_digest_of_the_week_lands_after_the_morning_message_once()
    {
        // 06:29:57 on a Saturday, the day of the digest.
        var saturday = Morning - Duration.FromDays(1);
        using var weather = new StubWeather(_tucson, saturday);
        var clock = new ShiftedClock(TimeProvider.System, saturday - Duration.FromSeconds(20));
        var after = new ShiftedClock(TimeProvider.System, saturday + Duration.FromMinutes(10));
        await using (var rig = await ServiceRig.StartAsync(_scratch, clock, Sources(weather)))
        {
            await AddAsync(rig);
            await Wait.UntilAsync(() => Mail().Length > 0);
            await rig.SweptAsync(clock, JobNames.Season, JobNames.Deliver);
            await Wait.UntilAsync(() => rig.Health.LastTick(JobNames.Climate) is not null);
        }

        var morning = Assert.Single(Mail());
        for (var run = 0; run < 2; run++)
        {
            await using var rig = await ServiceRig.StartAsync(_scratch, after, Sources(weather));
            await Wait.UntilAsync(() => Mail().Length > 1);
            await rig.SweptAsync(after, JobNames.Season, JobNames.Deliver);
        }

        using var mime = await MimeKit.MimeMessage.LoadAsync(
            Assert.Single(Mail(), file => !file.Equals(morning, StringComparison.Ordinal))
        );
        Assert.Contains("Tucson", mime.TextBody, StringComparison.Ordinal);
        Assert.DoesNotContain(
            "past years of weather at this place are not known",
            mime.TextBody,
            StringComparison.Ordinal
        );
    }

    private static string Sources(StubWeather weather) =>
        $$"""
            "Nws": { "BaseAddress": "{{weather.Url}}" }, "NasaPower": { "BaseAddress": "{{weather.Url}}" }
            """;

    private async Task AddAsync(ServiceRig rig) =>
        await rig.Store.Subscribers.AddAsync(
            "pat@example.org",
            new Lawn
            {
                Place = _tucson,
                Grass = GrassKind.Bermuda,
                Alerts = false,
            },
            TestContext.Current.CancellationToken
        );

    private string[] Mail()
    {
        var folder = Path.Combine(_scratch.Folder, "data", "mail");
        return Directory.Exists(folder) ? Directory.GetFiles(folder, "*.eml") : [];
    }

    private async Task<string> ReadAsync()
    {
        var path = Assert.Single(Mail());
        using var mime = await MimeKit.MimeMessage.LoadAsync(path);
        return mime.Headers.Aggregate("", (all, h) => all + h + "\n") + mime.TextBody;
    }
}
