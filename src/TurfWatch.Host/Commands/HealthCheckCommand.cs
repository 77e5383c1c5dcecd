using System.CommandLine;
using System.Net;
using TurfWatch.Host.Telemetry;
using TurfWatch.Host.Web;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch healthcheck</c>: asks the service beside it how it is, for containers that have no other way.</summary>
internal static class HealthCheckCommand
{
    public static Command Create(Terminal terminal)
    {
        var ready = new Option<bool>("--ready")
        {
            Description = "Ask whether work can be done, not only whether the service lives.",
        };
        var command = new Command(
            "healthcheck",
            """
            Asks the service that runs on this machine how it is (/health/live at Web:Listen) and prints what
            it says. For the HEALTHCHECK of a container, or a monitor of your own. With --ready it asks at
            Metrics:Listen when that is set: there the service says what is wrong in full.

            Example: turfwatch healthcheck
            Exit codes: 0 it lives, 1 it does not or does not answer.
            """
        )
        {
            ready,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var settings = parse.Settings(terminal, "Web", "Metrics");
                var pages = settings.Get<WebOptions>().Listen;
                var metrics = settings.Get<MetricsOptions>();
                var page = parse.GetValue(ready)
                    ? new Uri(Here(metrics.On ? metrics.Listen : pages), "/health/ready")
                    : new Uri(Here(pages), "/health/live");
                return await AskAsync(page, terminal, cancel);
            }
        );
        return command;
    }

    private static async Task<int> AskAsync(Uri page, Terminal terminal, CancellationToken cancel)
    {
        using var http = new HttpClient { Timeout = TimeSpan.FromSeconds(5) };
        try
        {
            using var answer = await http.GetAsync(page, cancel);
            await terminal.Out.WriteAsync(await answer.Content.ReadAsStringAsync(cancel));
            return answer.IsSuccessStatusCode ? CommandShell.Ok : CommandShell.Failed;
        }
        catch (Exception e)
            when (e is HttpRequestException
                || (e is OperationCanceledException && !cancel.IsCancellationRequested)
            )
        {
            await terminal.Error.WriteLineAsync(
                $"The service does not answer at {page}: is 'turfwatch serve' running, with the same Web:Listen and Metrics:Listen?"
            );
            return CommandShell.Failed;
        }
    }

    /// <summary>Where to ask when it listens everywhere.</summary>
    private static Uri Here(string listen)
    {
        var uri = new UriBuilder(listen);
        if (IPAddress.TryParse(uri.Host.Trim('[', ']'), out var address))
        {
            uri.Host =
                address.Equals(IPAddress.Any) ? "127.0.0.1"
                : address.Equals(IPAddress.IPv6Any) ? "[::1]"
                : uri.Host;
        }

        return uri.Uri;
    }
}
