using System.CommandLine;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch outlook</c>: the windows of a lawn's season with their ranges of dates.</summary>
internal static class OutlookCommand
{
    public static Command Create(Terminal terminal)
    {
        var request = new LawnRequest.Options();
        var asJson = new Option<bool>("--json") { Description = "Print it as JSON, in SI units." };
        var command = new Command(
            "outlook",
            """
            Shows when the windows of a lawn's season open and close: earliest likely, likely and latest likely,
            from its soil of today, the forecast and about 20 past years of its own weather. Stores nothing.

            Example: turfwatch outlook --zip 85719 --grass bermuda --overseed perennial-ryegrass --irrigated yes
            """
        )
        {
            asJson,
        };
        request.AddTo(command);
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var lawn = request.Read(parse, terminal, []);
                var settings = parse.Settings(terminal);
                var year = await ProgressBar.RunAsync(
                    terminal,
                    "Weather, soil and past years",
                    LawnNow.Steps,
                    async step =>
                    {
                        var now = await LawnNow.AskAsync(settings, lawn, step, cancel);
                        var made = now.Year();
                        step(1);
                        return made;
                    }
                );
                var windows = SeasonCalendar.Of(year);
                if (parse.GetValue(asJson))
                {
                    await terminal.Out.WriteLineAsync(OutlookJson.Write(year, windows));
                }
                else
                {
                    foreach (var line in OutlookText.Lines(year, windows))
                    {
                        await terminal.Out.WriteLineAsync(line);
                    }
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }
}
