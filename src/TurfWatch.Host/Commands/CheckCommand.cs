using System.CommandLine;
using System.Text.Json;
using TurfWatch.Host.Configuration;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch check</c>: what is wrong, and what to do.</summary>
internal static class CheckCommand
{
    private static readonly JsonSerializerOptions Json = new()
    {
        WriteIndented = true,
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public static Command Create(Terminal terminal)
    {
        var asJson = new Option<bool>("--json") { Description = "Print the findings as JSON." };
        var dns = new Option<string?>("--dns")
        {
            Description =
                "Name server to ask, address or address:port; without it, the machine's own.",
            HelpName = "ADDRESS",
        };
        var sendsFrom = new Option<string[]>(SendingAddresses.Option)
        {
            Description =
                "Address that the relay sends from, as receivers see it; may be given again. Without it, the relay's own.",
            HelpName = "ADDRESS",
        };
        var command = new Command(
            "check",
            """
            Looks at everything the service depends on: configuration, data, disk space, messages that wait or
            failed, mail relay (greeting, encryption, login; sends nothing), the DNS records that receivers of
            mail look at, the public pages, the mailbox, weather services, clock, time zones. Says what is wrong
            and what to do. Works beside a running service. Prints no secret.

            Example: turfwatch check --config /etc/turfwatch/turfwatch.json
            Example: turfwatch check --dns 192.0.2.53 (ask this name server, right after a change)
            Example: turfwatch check --sends-from 203.0.113.25 (hold SPF and the reverse name against this address)
            Exit codes: 0 all well (warnings aside), 1 something is wrong, 2 the configuration is wrong.
            """
        )
        {
            asJson,
            dns,
            sendsFrom,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var names = NameServer.Of(parse.GetValue(dns));
                var from = SendingAddresses.Read(parse.GetValue(sendsFrom) ?? []);
                List<CheckFinding> findings;
                var exit = CommandShell.Ok;
                try
                {
                    var settings = parse.Settings(terminal);
                    findings = await Checks.RunAsync(settings, from, names, terminal, cancel);
                    if (findings.Any(f => f.State == CheckState.Wrong))
                    {
                        exit = CommandShell.Failed;
                    }
                }
                catch (SettingsException e)
                {
                    findings =
                    [
                        .. e.Faults.Select(f => new CheckFinding(
                            CheckId.Configuration,
                            CheckState.Wrong,
                            f
                        )),
                        new(
                            CheckId.Configuration,
                            CheckState.Mind,
                            "the rest was not looked at; mend the configuration first"
                        ),
                    ];
                    exit = CommandShell.Misused;
                }

                await PrintAsync(terminal, findings, parse.GetValue(asJson));
                return exit;
            }
        );
        return command;
    }

    private static async Task PrintAsync(
        Terminal terminal,
        List<CheckFinding> findings,
        bool asJson
    )
    {
        if (asJson)
        {
            var shown = findings.Select(f => new
            {
                Id = f.Name,
                State = Words.Kebab(f.State.ToString()),
                f.Says,
                Runbook = $"docs/runbook.md#{f.Name}",
            });
            await terminal.Out.WriteLineAsync(JsonSerializer.Serialize(shown, Json));
            return;
        }

        foreach (var finding in findings)
        {
            var mark = finding.State switch
            {
                CheckState.Well => "ok   ",
                CheckState.Mind => "mind ",
                _ => "WRONG",
            };
            await terminal.Out.WriteLineAsync($"{mark}  {finding.Name, -14}  {finding.Says}");
        }

        var wrong = findings.Count(f => f.State == CheckState.Wrong);
        if (findings.Any(f => f.State != CheckState.Well))
        {
            await terminal.Out.WriteLineAsync(
                "What to do about each is in docs/runbook.md, under its name."
            );
        }

        await terminal.Out.WriteLineAsync(
            wrong switch
            {
                0 => "Nothing is wrong.",
                1 => "1 thing is wrong.",
                _ => $"{wrong} things are wrong.",
            }
        );
    }
}
