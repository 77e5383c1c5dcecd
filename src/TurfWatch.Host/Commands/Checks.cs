using System.Net;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Store;
using TurfWatch.Weather.Http;

namespace TurfWatch.Host.Commands;

/// <summary>Looks at what the service depends on.</summary>
internal static class Checks
{
    private static readonly TimeSpan ClockOff = TimeSpan.FromSeconds(60);

    public static async Task<List<CheckFinding>> RunAsync(
        Settings settings,
        IReadOnlyList<IPAddress> sendsFrom,
        NameServer names,
        Terminal terminal,
        CancellationToken cancel
    )
    {
        var findings = new List<CheckFinding>
        {
            new(
                CheckId.Configuration,
                CheckState.Well,
                settings.File is { } file
                    ? $"{file} holds no fault"
                    : "no file is in use: defaults and environment, which hold no fault"
            ),
            new(
                CheckId.TimeZones,
                CheckState.Well,
                $"rules of {DateTimeZoneProviders.Tzdb.VersionId}, inside the program"
            ),
        };
        await StoreAsync(settings.Get<StoreOptions>(), terminal, findings, cancel);
        await CheckedMail.LookAsync(settings, sendsFrom, names, terminal, findings, cancel);
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
            findings.Add(new(CheckId.Data, CheckState.Wrong, e.Message));
        }
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
                    CheckId.Weather,
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
                    CheckId.Weather,
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
                    CheckId.Weather,
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
        if (theirs is null || findings.Any(f => f.Id == CheckId.Clock))
        {
            return;
        }

        var off = terminal.Clock.GetUtcNow() - theirs.Value;
        findings.Add(
            off.Duration() < ClockOff
                ? new(CheckId.Clock, CheckState.Well, $"agrees with {origin.Host}")
                : new(
                    CheckId.Clock,
                    CheckState.Wrong,
                    $"is {off.TotalSeconds:0} s {(off > TimeSpan.Zero ? "ahead of" : "behind")} {origin.Host}; set the machine's clock (timedatectl set-ntp true), or messages come at the wrong time"
                )
        );
    }
}
