using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;

namespace TurfWatch.Host.Commands;

/// <summary>Makes one message as the service would, and writes it to files.</summary>
internal static class Preview
{
    public const int Steps = 3;

    private static readonly TimeSpan ClimatePatience = TimeSpan.FromSeconds(45);

    public sealed record Written(string Text, IReadOnlyList<string> Files);

    public static async Task<Briefing> MakeAsync(
        Settings settings,
        TimeProvider clock,
        Lawn lawn,
        LawnRecord record,
        Action<int> step,
        CancellationToken cancel
    )
    {
        var services = new ServiceCollection();
        services.AddSingleton(clock);
        services.AddServiceLogging(new LogOptions { Level = LogLevel.Error });
        services.AddTurfWatchWeather(settings.Get<WeatherOptions>());
        await using var provider = services.BuildServiceProvider();
        var desk = provider.GetRequiredService<WeatherDesk>();
        var now = Instant.FromDateTimeOffset(clock.GetUtcNow());

        WeatherCell? cell = null;
        CellWeather weather;
        try
        {
            cell = await desk.ResolveAsync(lawn.Place, null, cancel);
            step(1);
            var asked = ClimateAsync(desk, cell, cancel);
            weather = await desk.FetchAsync(cell, WeatherSeries.Empty, cancel);
            weather = await asked is { } climate ? weather.With(climate) : weather;
        }
        catch (WeatherSourceException e)
        {
            weather = NoWeather.For(now, e.ReaderText);
        }

        step(1);
        var assess = new AssessMorning(cell, weather, now, _ => null);
        var date = now.InZone(lawn.Place.Zone).Date;
        var briefing = assess.Brief(lawn, record, date);
        step(1);
        return briefing;
    }

    /// <summary>Nobody waits longer for twenty years than for the weather of the day.</summary>
    private static async Task<ClimateAnswer?> ClimateAsync(
        WeatherDesk desk,
        WeatherCell cell,
        CancellationToken cancel
    )
    {
        if (!desk.HasClimate)
        {
            return null;
        }

        using var patience = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        patience.CancelAfter(ClimatePatience);
        try
        {
            return await desk.ClimateAsync(cell, patience.Token);
        }
        catch (OperationCanceledException) when (!cancel.IsCancellationRequested)
        {
            return new(
                null,
                null,
                new(
                    DataSubject.Climate,
                    "",
                    null,
                    DataStanding.Missing,
                    $"The past years did not come within {ClimatePatience.TotalSeconds:0} seconds."
                )
            );
        }
    }

    public static async Task<Written> WriteAsync(
        Settings settings,
        Briefing briefing,
        string folder,
        CancellationToken cancel
    )
    {
        // A preview must not make the service's key file; its links lead nowhere.
        using var keys = new TemporaryFolder();
        var sender = settings.Get<SenderOptions>();
        var composer = new MessageComposer(sender, LinkTokens.Open(keys.Path));
        var parts = composer.Render(briefing);
        var subscriber = new Subscriber(0, "you@example.org", SubscriberStatus.Active);
        var lawn = briefing.Lawn;
        var due = (briefing.Date + lawn.MessageTime).InZoneLeniently(lawn.Place.Zone).ToInstant();
        var row = composer.Compose(
            briefing,
            subscriber,
            DueMorning.KeyOf(briefing.Date, 0),
            due,
            due + Duration.FromHours(2.5)
        );
        Directory.CreateDirectory(folder);
        var name = Path.Combine(folder, $"{briefing.Lawn.Place.Zip}-{briefing.Date:uuuu-MM-dd}");
        string[] files = [name + ".txt", name + ".html", name + ".eml"];
        await File.WriteAllTextAsync(files[0], parts.Text, cancel);
        await File.WriteAllTextAsync(files[1], parts.Html, cancel);
        await File.WriteAllBytesAsync(files[2], row.Content, cancel);
        return new Written($"Subject: {parts.Subject}\n\n{parts.Text}", files);
    }
}

/// <summary>A folder that is gone when it is no longer needed.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("turfwatch-").FullName;

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
