using System.CommandLine;
using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Configuration;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Weather;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch preview</c>: what would be sent for a ZIP code, without sending it.</summary>
internal static class PreviewCommand
{
    public static Command Create(Terminal terminal)
    {
        var zip = SubscribersCommand.ZipOption();
        var file = new Option<string?>("--lawn")
        {
            Description =
                "JSON file that describes the lawn with the words of the options below, and a journal: { \"grass\": \"bermuda\", \"journal\": [ { \"what\": \"mowed\", \"on\": \"2026-05-31\", \"amount\": \"2.5in\" } ] }.",
            HelpName = "FILE",
        };
        var at = AtOption.Create();
        var kind = new Option<string>("--kind")
        {
            Description = "Kind of message: morning.",
            HelpName = "KIND",
            DefaultValueFactory = _ => "morning",
        };
        var outFolder = new Option<string>("--out")
        {
            Description = "Folder for the .txt, .html and .eml files.",
            HelpName = "DIR",
            DefaultValueFactory = _ => "out/preview",
        };
        var words = LawnArguments.Create();
        var command = new Command(
            "preview",
            """
            Composes the message for a lawn from live weather (or from the addresses in the configuration)
            and writes it to files. Sends nothing, stores nothing, needs no subscriber.

            Example: turfwatch preview --zip 40502 --grass kentucky-bluegrass --soil clay-loam
            """
        )
        {
            zip,
            file,
            at,
            kind,
            outFolder,
        };
        words.ForEach(command.Options.Add);
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var faults = new List<string>();
                Words.OneOf<PreviewKind>("--kind", parse.GetValue(kind)!, faults);
                var fileWords = parse.GetValue(file) is { } path
                    ? LawnFile.Read(Path.GetFullPath(path, terminal.Folder), faults)
                    : LawnFile.Empty;
                var lawn = LawnArguments.Read(
                    parse,
                    parse.GetValue(zip)!,
                    words,
                    faults,
                    fileWords.Described
                );
                var clock = AtOption.Clock(parse, at, terminal);
                if (faults.Count > 0)
                {
                    throw new MisuseException(faults);
                }

                var briefing = await ProgressBar.RunAsync(
                    terminal,
                    "Weather and soil",
                    Preview.Steps,
                    step =>
                        Preview.MakeAsync(
                            parse.Settings(terminal),
                            clock,
                            lawn!,
                            new LawnRecord(fileWords.Journal),
                            step,
                            cancel
                        )
                );
                var written = await Preview.WriteAsync(
                    parse.Settings(terminal),
                    briefing,
                    Path.GetFullPath(parse.GetValue(outFolder)!, terminal.Folder),
                    cancel
                );
                await terminal.Out.WriteLineAsync(written.Text);
                foreach (var name in written.Files)
                {
                    await terminal.Out.WriteLineAsync($"written: {name}");
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private enum PreviewKind
    {
        Morning,
    }
}
