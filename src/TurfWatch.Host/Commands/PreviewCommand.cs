using System.CommandLine;
using TurfWatch.Core;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Advice.Digest;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch preview</c>: what would be sent for a ZIP code, without sending it.</summary>
internal static class PreviewCommand
{
    private enum PreviewKind
    {
        Morning,
        Alert,
        Digest,
    }

    public static Command Create(Terminal terminal)
    {
        var request = new LawnRequest.Options();
        var kind = new Option<string>("--kind")
        {
            Description =
                "Kind of message: morning; alert (every alert that today gives, sent before or not); digest.",
            HelpName = "KIND",
            DefaultValueFactory = _ => "morning",
        };
        var outFolder = new Option<string>("--out")
        {
            Description = "Folder for the .txt, .html and .eml files.",
            HelpName = "DIR",
            DefaultValueFactory = _ => "out/preview",
        };
        var command = new Command(
            "preview",
            """
            Composes the message for a lawn from live weather (or from the addresses in the configuration)
            and writes it to files. Sends nothing, stores nothing, needs no subscriber.

            Example: turfwatch preview --zip 40502 --grass kentucky-bluegrass --soil clay-loam
            Example: turfwatch preview --zip 85719 --lawn my-lawn.json --kind digest
            """
        )
        {
            kind,
            outFolder,
        };
        request.AddTo(command);
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                var wanted = Words.OneOf<PreviewKind>("--kind", parse.GetValue(kind)!, faults);
                var lawn = request.Read(parse, terminal, faults);
                var settings = parse.Settings(terminal);
                var contents = await ProgressBar.RunAsync(
                    terminal,
                    "Weather and soil",
                    LawnNow.Steps,
                    async step =>
                    {
                        var now = await LawnNow.AskAsync(settings, lawn, step, cancel);
                        var made = Contents(wanted!.Value, now);
                        step(1);
                        return made;
                    }
                );
                if (contents.Count == 0)
                {
                    await terminal.Out.WriteLineAsync(
                        $"No window of this lawn opens, closes or nears its end on {lawn.Today:uuuu-MM-dd}, so no alert would be sent; 'turfwatch outlook' shows when the next ones do."
                    );
                }

                var folder = Path.GetFullPath(parse.GetValue(outFolder)!, terminal.Folder);
                for (var i = 0; i < contents.Count; i++)
                {
                    var suffix = contents.Count > 1 ? $"-{i + 1}" : "";
                    var written = await Preview.WriteAsync(
                        settings,
                        contents[i],
                        (wanted is PreviewKind.Morning ? "" : $"-{Words.Kebab($"{wanted}")}")
                            + suffix,
                        folder,
                        cancel
                    );
                    await terminal.Out.WriteLineAsync(written.Text);
                    foreach (var name in written.Files)
                    {
                        await terminal.Out.WriteLineAsync($"written: {name}");
                    }
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static IReadOnlyList<MessageContent> Contents(PreviewKind kind, LawnNow now)
    {
        if (kind == PreviewKind.Morning)
        {
            return [now.Morning()];
        }

        var year = now.Year();
        var windows = SeasonCalendar.Of(year);
        return kind == PreviewKind.Digest
            ? [WeeklyDigest.Build(year, windows)]
            : [.. SeasonAlerts.Of(year with { Lawn = year.Lawn with { Alerts = true } }, windows)];
    }
}
