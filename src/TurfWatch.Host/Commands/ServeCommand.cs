using System.CommandLine;
using System.Diagnostics;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Web;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch serve</c>: the service.</summary>
internal static partial class ServeCommand
{
    /// <summary>A PostgreSQL that cannot be reached is waited for so long at the start: after a power cut, all come up at once.</summary>
    private static readonly TimeSpan WaitForServer = TimeSpan.FromSeconds(30);

    public static Command Create(Terminal terminal)
    {
        var at = AtOption.Create();
        var command = new Command(
            "serve",
            """
            Runs the service: fetches weather, works out the morning messages, sends them, answers the
            links in them. Without a mail relay in the configuration, messages are written to a folder.
            Stop it with Ctrl+C or SIGTERM; it finishes the message in flight.

            Example: turfwatch serve --config /etc/turfwatch/turfwatch.json
            """
        )
        {
            at,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var clock = AtOption.Clock(parse, at, terminal);
                var settings = parse.Settings(terminal);
                try
                {
                    return await RunAsync(settings, clock, terminal, cancel);
                }
                catch (OperationCanceledException) when (cancel.IsCancellationRequested)
                {
                    // Told to stop while it was starting: that is no failure for whoever watches over it.
                    return CommandShell.Ok;
                }
            }
        );
        return command;
    }

    private static async Task<int> RunAsync(
        Settings settings,
        TimeProvider clock,
        Terminal terminal,
        CancellationToken cancel
    )
    {
        var options = settings.Get<StoreOptions>();
        await using var store = await OpenStoreAsync(settings, clock, cancel);
        var tokens = await SharedLinks.OpenAsync(options, store, cancel);
        await using var app = ServiceHost.Build(settings, store, tokens, clock);
        var log = app.Services.GetRequiredService<ILoggerFactory>().CreateLogger("TurfWatch");
        try
        {
            await app.StartAsync(cancel);
        }
        catch (IOException e)
            when (e.InnerException is Microsoft.AspNetCore.Connections.AddressInUseException)
        {
            await terminal.Error.WriteLineAsync(
                $"Web:Listen is '{settings.Get<WebOptions>().Listen}', but something else listens there already; stop it, or write another port."
            );
            return CommandShell.Failed;
        }
        catch (Quartz.SchedulerException e)
        {
            await terminal.Error.WriteLineAsync(
                $"The schedule that the workers share in PostgreSQL could not be joined ({e.Message.TrimEnd('.')}): another program or a worker that was cut off holds it, or the server went away. Start again; if it stays so, see who holds locks in that database."
            );
            return CommandShell.Failed;
        }

        Started(
            log,
            options.UsesPostgres ? store.Where : Path.GetFullPath(options.DataDirectory),
            settings.File ?? "no configuration file: defaults",
            string.Join(", ", app.Urls)
        );
        MailGoes(log, app.Services.GetRequiredService<MailRoute>().Sentence);
        if (await store.Outbox.HeldAsync(cancel) is { } hold)
        {
            Held(log, hold.Sentence);
        }

        // System.CommandLine cancels on Ctrl+C and SIGTERM; so does the host: whichever is first.
        using var stop = cancel.Register(app.Lifetime.StopApplication);
        await app.WaitForShutdownAsync(CancellationToken.None);
        return CommandShell.Ok;
    }

    /// <summary>Opens the store. What does not pass by itself (the login, the schema) ends the start at once.</summary>
    private static async Task<TurfStore> OpenStoreAsync(
        Settings settings,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        var since = Stopwatch.GetTimestamp();
        while (true)
        {
            try
            {
                return await TurfStore.OpenAsync(settings.Get<StoreOptions>(), clock, cancel);
            }
            catch (StoreException e)
                when (e.Fault == StoreFault.Away
                    && WaitForServer - Stopwatch.GetElapsedTime(since) is var left
                    && left > TimeSpan.Zero
                )
            {
                // The service and its log are made when there is a store.
                var services = new ServiceCollection();
                services.AddServiceLogging(settings.Get<LogOptions>());
                await using var made = services.BuildServiceProvider();
                var log = made.GetRequiredService<ILoggerFactory>().CreateLogger("TurfWatch");
                Waits(log, left.TotalSeconds, e.Message);
            }
        }
    }

    [LoggerMessage(LogLevel.Warning, "The start waits {Seconds:0} s more at most: {Trouble}")]
    private static partial void Waits(ILogger log, double seconds, string trouble);

    [LoggerMessage(LogLevel.Information, "TurfWatch runs on {Folder} ({Config}); pages at {Urls}")]
    private static partial void Started(ILogger log, string folder, string config, string urls);

    [LoggerMessage(LogLevel.Warning, "All mail is held: {Sentence}")]
    private static partial void Held(ILogger log, string sentence);

    [LoggerMessage(LogLevel.Information, "{Sentence}")]
    private static partial void MailGoes(ILogger log, string sentence);
}
