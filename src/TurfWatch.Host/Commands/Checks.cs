using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Store;
using TurfWatch.Weather.Http;

namespace TurfWatch.Host.Commands;

/// <summary>How a thing is that was looked at.</summary>
internal enum CheckState
{
    Well,
    Mind,
    Wrong,
}

/// <summary>One thing that was looked at.</summary>
internal sealed record CheckFinding(string Area, CheckState State, string Says);

/// <summary>Looks at what the service depends on.</summary>
internal static class Checks
{
    private static readonly TimeSpan ClockOff = TimeSpan.FromSeconds(60);

    public static async Task<List<CheckFinding>> RunAsync(
        Settings settings,
        Terminal terminal,
        CancellationToken cancel
    )
    {
        var findings = new List<CheckFinding>
        {
            new(
                "configuration",
                CheckState.Well,
                settings.File is { } file
                    ? $"{file} holds no fault"
                    : "no file is in use: defaults and environment, which hold no fault"
            ),
            new(
                "time zones",
                CheckState.Well,
                $"time zone data {DateTimeZoneProviders.Tzdb.VersionId}"
            ),
        };
        await StoreAsync(settings.Get<StoreOptions>(), terminal, findings, cancel);
        await MailAsync(settings, terminal, findings, cancel);
        await InboxAsync(settings, terminal, findings, cancel);
        var weather = settings.Get<WeatherOptions>();
        foreach (
            var (name, origin) in settings
                .All.OfType<OriginOptions>()
                .Select(o => (OptionsCatalog.All.Single(c => c.Type == o.GetType()).Section, o))
        )
        {
            await WeatherAsync(name, origin, weather.UserAgent, terminal, findings, cancel);
        }

        return findings;
    }

    private static async Task StoreAsync(
        StoreOptions options,
        Terminal terminal,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        try
        {
            await using var store = await TurfStore.OpenAsync(
                options,
                terminal.Clock,
                cancel,
                StoreAccess.Beside
            );
            var report = await store.InspectAsync(cancel);
            findings.AddRange(CheckedStore.Look(report, options));
            var now = Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow());
            await CheckedOutbox.LookAsync(store, now, findings, cancel);
        }
        catch (StoreException e)
        {
            findings.Add(new("data", CheckState.Wrong, e.Message));
        }
    }

    private static async Task MailAsync(
        Settings settings,
        Terminal terminal,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        var route = MailRoute.Of(
            settings.Get<SmtpOptions>(),
            settings.Get<FolderOptions>(),
            settings.Get<StoreOptions>()
        );
        if (route.IsFolder)
        {
            findings.Add(new("mail", CheckState.Mind, route.Sentence));
            return;
        }

        await using var transport = new SmtpTransport(route.Smtp, terminal.Clock);
        var problem = await transport.CheckAsync(cancel);
        findings.Add(
            problem is null
                ? new(
                    "mail",
                    CheckState.Well,
                    $"the relay {route.Smtp.Host} answers and lets us in"
                )
                : new("mail", CheckState.Wrong, problem)
        );
        if (settings.Get<SenderOptions>().PublicBaseUrl is null)
        {
            findings.Add(
                new(
                    "links",
                    CheckState.Mind,
                    "Mail:Sender:PublicBaseUrl is not set: readers can stop the messages by mail only, and large mail providers want a link"
                )
            );
        }
    }

    private static async Task InboxAsync(
        Settings settings,
        Terminal terminal,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        var inbox = settings.Get<InboxOptions>();
        if (!inbox.Configured)
        {
            findings.Add(
                new(
                    "inbox",
                    CheckState.Mind,
                    "Mail:Inbox:Host is not set: answers are not read, and refused mail goes to Mail:Sender:FromAddress"
                )
            );
            return;
        }

        await using var mailbox = new ImapMailbox(
            inbox,
            settings.Get<SenderOptions>(),
            terminal.Clock
        );
        findings.Add(
            await mailbox.CheckAsync(cancel) is { } problem
                ? new("inbox", CheckState.Wrong, problem)
                : new("inbox", CheckState.Well, $"the mailbox at {inbox.Host} lets us in")
        );
    }

    private static async Task WeatherAsync(
        string section,
        OriginOptions origin,
        string userAgent,
        Terminal terminal,
        List<CheckFinding> findings,
        CancellationToken cancel
    )
    {
        if (!origin.Enabled)
        {
            var usual = (OriginOptions)Activator.CreateInstance(origin.GetType())!;
            findings.Add(
                new(
                    "weather",
                    usual.Enabled ? CheckState.Mind : CheckState.Well,
                    $"{section[(section.LastIndexOf(':') + 1)..]} is not asked ({section}:Enabled is false)"
                )
            );
            return;
        }

        using var http = new HttpClient { Timeout = TimeSpan.FromSeconds(15) };
        http.DefaultRequestHeaders.TryAddWithoutValidation("User-Agent", userAgent);
        try
        {
            using var answer = await http.GetAsync(
                origin.BaseAddress,
                HttpCompletionOption.ResponseHeadersRead,
                cancel
            );
            var trouble = (int)answer.StatusCode switch
            {
                401 or 403 =>
                    $"refuses us ({(int)answer.StatusCode}); check Weather:Contact, which tells the service who asks",
                >= 500 => $"has trouble of its own ({(int)answer.StatusCode}); wait",
                _ => null,
            };
            findings.Add(
                new(
                    "weather",
                    trouble is null ? CheckState.Well : CheckState.Wrong,
                    $"{origin.BaseAddress} {trouble ?? "answers"}"
                )
            );
            Clock(answer.Headers.Date, terminal, origin.BaseAddress!, findings);
        }
        catch (Exception e)
            when (e is HttpRequestException or System.Net.Sockets.SocketException
                || (e is TaskCanceledException && !cancel.IsCancellationRequested)
            )
        {
            findings.Add(
                new(
                    "weather",
                    CheckState.Wrong,
                    $"{origin.BaseAddress} cannot be reached ({(e is TaskCanceledException ? "no answer in 15 seconds" : e.Message.TrimEnd('.'))}); check this machine's network, its proxy if it has one, and {section}:BaseAddress"
                )
            );
        }
    }

    private static void Clock(
        DateTimeOffset? theirs,
        Terminal terminal,
        Uri origin,
        List<CheckFinding> findings
    )
    {
        if (theirs is null || findings.Any(f => f.Area == "clock"))
        {
            return;
        }

        var off = terminal.Clock.GetUtcNow() - theirs.Value;
        findings.Add(
            off.Duration() < ClockOff
                ? new("clock", CheckState.Well, $"agrees with {origin.Host}")
                : new(
                    "clock",
                    CheckState.Wrong,
                    $"is {off.TotalSeconds:0} s {(off > TimeSpan.Zero ? "ahead of" : "behind")} {origin.Host}; set the machine's clock (timedatectl set-ntp true), or messages come at the wrong time"
                )
        );
    }
}
