using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.Logging.Console;
using NodaTime;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Calendars;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Join;
using TurfWatch.Host.People;
using TurfWatch.Host.Telemetry;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Mail.Signing;
using TurfWatch.Store;
using TurfWatch.Weather;
using TurfWatch.Weather.Http;

namespace TurfWatch.Host.Commands;

/// <summary>Puts the service together: jobs, web pages, mail.</summary>
internal static class ServiceHost
{
    // A mail in flight is given this long; systemd's TimeoutStopSec is longer.
    private static readonly TimeSpan StopWithin = TimeSpan.FromSeconds(25);

    private const int LargestBody = 64 * 1024;

    public static WebApplication Build(
        Settings settings,
        TurfStore store,
        LinkTokens tokens,
        TimeProvider clock
    )
    {
        var builder = WebApplication.CreateSlimBuilder(
            new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory }
        );
        // Settings are ours alone; the framework's own would make a second, unchecked way in.
        builder.Configuration.Sources.Clear();
        builder.Configuration.AddInMemoryCollection();
        builder.WebHost.UseUrls(settings.Get<WebOptions>().Listen);
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = LargestBody;
            kestrel.Limits.MinRequestBodyDataRate = new MinDataRate(100, TimeSpan.FromSeconds(5));
        });
        builder.Services.AddServiceLogging(settings.Get<LogOptions>());
        builder.Services.Configure<HostOptions>(o => o.ShutdownTimeout = StopWithin);
        builder.Services.AddSystemd();
        builder.Services.AddTelemetry(
            settings.Get<MetricsOptions>(),
            settings.Get<TelemetryOptions>()
        );
        builder.Services.AddTurfWatch(settings, store, tokens, clock);
        builder.Services.AddSweeps(settings.Get<JobsOptions>(), store, clock);

        var app = builder.Build();
        app.MapPages(Instant.FromDateTimeOffset(clock.GetUtcNow()));
        var health = app.Services.GetRequiredService<HealthBoard>();
        app.Lifetime.ApplicationStopping.Register(() => health.Draining = true);
        return app;
    }

    /// <summary>What the sweeps and pages need.</summary>
    public static IServiceCollection AddTurfWatch(
        this IServiceCollection services,
        Settings settings,
        TurfStore store,
        LinkTokens tokens,
        TimeProvider clock
    )
    {
        settings.AddTo(services);
        services.AddSingleton(clock);
        services.AddSingleton(store);
        services.AddSingleton(tokens);
        services.AddSingleton<HealthBoard>();
        services.AddTurfWatchWeather(settings.Get<WeatherOptions>());
        services.AddSingleton(
            MailRoute.Of(
                settings.Get<SmtpOptions>(),
                settings.Get<FolderOptions>(),
                settings.Get<StoreOptions>()
            )
        );
        if (settings.Get<DkimOptions>().Configured)
        {
            services.AddSingleton<DkimSigner>();
        }

        services.AddSingleton<IMailTransport>(s =>
        {
            var route = s.GetRequiredService<MailRoute>();
            return route.IsFolder
                ? new FolderTransport(route.Folder)
                : ActivatorUtilities.CreateInstance<SmtpTransport>(s);
        });
        services.AddSingleton<MessageComposer>();
        services.AddSingleton<FetchSweep>();
        services.AddSingleton<ClimateSweep>();
        services.AddSingleton<ICellWeather, KeptWeather>();
        services.AddSingleton<MorningSweep>();
        services.AddSingleton<SeasonSweep>();
        services.AddSingleton(s => new DeliverySweep(
            store,
            s.GetRequiredService<IMailTransport>(),
            clock,
            settings.Get<DeliveryOptions>(),
            s.GetRequiredService<ILogger<DeliverySweep>>(),
            new Random()
        ));
        services.AddSingleton<EndedWorkers>();
        services.AddSingleton<PruneSweep>();
        services.AddSingleton<LawnToday>();
        services.AddSingleton<Throttle>();
        services.AddSingleton<CalendarShelf>();
        services.AddSingleton<JoinDesk>();
        services.AddSingleton<AnswerDesk>();
        services.AddSingleton<PersonalData>();
        if (settings.Get<InboxOptions>().Configured)
        {
            services.AddSingleton<ImapMailbox>();
            services.AddHostedService<InboxReading>();
        }

        return services;
    }

    public static void AddServiceLogging(this IServiceCollection services, LogOptions options) =>
        services.AddLogging(logging =>
        {
            logging.ClearProviders();
            logging.SetMinimumLevel(options.Level);
            // What the libraries say below a warning is noise to an operator.
            logging.AddFilter("Microsoft", AtLeast(options.Level, LogLevel.Warning));
            logging.AddFilter("System.Net.Http", AtLeast(options.Level, LogLevel.Warning));
            // A breaker that opens is told by the weather desk in a sentence; here it would be a page of stack.
            logging.AddFilter("Polly", AtLeast(options.Level, LogLevel.Critical));
            // What ails a schedule, ScheduleTrouble says in a sentence.
            logging.AddFilter("Quartz", AtLeast(options.Level, LogLevel.Critical));
            logging.AddJsonConsole(console => console.UseUtcTimestamp = true);
            logging.AddSimpleConsole(console =>
            {
                console.SingleLine = true;
                console.ColorBehavior = LoggerColorBehavior.Disabled;
                console.UseUtcTimestamp = true;
                console.TimestampFormat = "yyyy-MM-ddTHH:mm:ssZ ";
            });
            logging.AddConsole(console =>
            {
                console.FormatterName = MaskedConsole.FormatterName;
                // When nobody reads the log any more, lines are lost and not the mail.
                console.QueueFullMode = ConsoleLoggerQueueFullMode.DropWrite;
            });
            logging.Services.AddSingleton<ConsoleFormatter>(s => new MaskedConsole(
                s,
                options.Json
            ));
        });

    private static LogLevel AtLeast(LogLevel a, LogLevel b) => a > b ? a : b;
}
