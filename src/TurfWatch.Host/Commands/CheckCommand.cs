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
        var command = new Command(
            "check",
            """
            Looks at everything the service depends on: configuration, data folder, disk space, mail relay
            (greeting, encryption, login; sends nothing), weather services, clock, time zones. Says what is
            wrong and what to do. Works beside a running service. Prints no secret.

            Example: turfwatch check --config /etc/turfwatch/turfwatch.json
            Exit codes: 0 all well (warnings aside), 1 something is wrong, 2 the configuration is wrong.
            """
        )
        {
            asJson,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                List<CheckFinding> findings;
                var exit = CommandShell.Ok;
                try
                {
                    var settings = parse.Settings(terminal);
                    findings = await Checks.RunAsync(settings, terminal, cancel);
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
                            "configuration",
                            CheckState.Wrong,
                            f
                        )),
                        new(
                            "the rest",
                            CheckState.Mind,
                            "was not looked at; mend the configuration first"
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
                f.Area,
                State = Words.Kebab(f.State.ToString()),
                f.Says,
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
            await terminal.Out.WriteLineAsync($"{mark}  {finding.Area, -13}  {finding.Says}");
        }

        var wrong = findings.Count(f => f.State == CheckState.Wrong);
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
