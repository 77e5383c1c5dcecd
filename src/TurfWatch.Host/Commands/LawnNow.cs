using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;

namespace TurfWatch.Host.Commands;

/// <summary>What the weather services say at this moment of one lawn, and the service's own reckoning on it; nothing is stored.</summary>
internal sealed class LawnNow
{
    public const int Steps = 3;

    private static readonly TimeSpan ClimatePatience = TimeSpan.FromSeconds(45);

    private readonly LawnRequest _request;
    private readonly AssessMorning _morning;
    private readonly PastYears? _years;

    private LawnNow(LawnRequest request, AssessMorning morning, PastYears? years)
    {
        _request = request;
        _morning = morning;
        _years = years;
    }

    public static async Task<LawnNow> AskAsync(
        Settings settings,
        LawnRequest request,
        Action<int> step,
        CancellationToken cancel
    )
    {
        var services = new ServiceCollection();
        services.AddSingleton(request.Clock);
        services.AddServiceLogging(new LogOptions { Level = LogLevel.Error });
        services.AddTurfWatchWeather(settings.Get<WeatherOptions>());
        await using var provider = services.BuildServiceProvider();
        var desk = provider.GetRequiredService<WeatherDesk>();

        WeatherCell? cell = null;
        CellWeather weather;
        ClimateAnswer? climate = null;
        try
        {
            cell = await desk.ResolveAsync(request.Lawn.Place, null, cancel);
            step(1);
            var asked = ClimateAsync(desk, cell, cancel);
            weather = await desk.FetchAsync(cell, WeatherSeries.Empty, cancel);
            climate = await asked;
            weather = climate is null ? weather : weather.With(climate);
        }
        catch (WeatherSourceException e)
        {
            weather = NoWeather.For(request.Now, e.ReaderText);
        }

        step(1);
        var morning = new AssessMorning(cell, weather, request.Now, _ => null);
        return new(request, morning, climate?.Years);
    }

    public Briefing Morning() => _morning.Brief(_request.Lawn, _request.Record, _request.Today);

    public LawnYear Year() =>
        new AssessSeason(
            _morning,
            _years,
            _ => new(null, null),
            new Dictionary<SurfaceClass, SeasonOutlook>()
        ).Year(_request.Lawn, _request.Record, _request.Today);

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
}
