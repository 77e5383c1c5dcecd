using System.CommandLine;
using TurfWatch.Host.Configuration;

namespace TurfWatch.Host.Commands;

/// <summary>What all commands share: the exit codes, the --config option, and how failures are told.</summary>
internal static class CommandShell
{
    public const int Ok = 0;
    public const int Failed = 1;
    public const int Misused = 2;

    public static readonly Option<string?> Config = new("--config")
    {
        Description =
            "Configuration file. Without it: $TURFWATCH_CONFIG, ./config/turfwatch.json, /etc/turfwatch/turfwatch.json.",
        HelpName = "FILE",
        Recursive = true,
    };

    /// <summary>Sets what the command does, with its failures told as sentences and exit codes.</summary>
    public static void Does(
        this Command command,
        Terminal terminal,
        Func<ParseResult, CancellationToken, Task<int>> act
    ) =>
        command.SetAction(
            async (parse, cancel) =>
            {
                try
                {
                    return await act(parse, cancel);
                }
                catch (SettingsException e)
                {
                    await TellFaults(terminal, e);
                    return Misused;
                }
                catch (MisuseException e)
                {
                    foreach (var fault in e.Faults)
                    {
                        await terminal.Error.WriteLineAsync(fault);
                    }

                    return Misused;
                }
                catch (OperationCanceledException) when (cancel.IsCancellationRequested)
                {
                    await terminal.Error.WriteLineAsync("Stopped before it was done.");
                    return Failed;
                }
                catch (Exception e) when (FailureText.For(e) is { } sentence)
                {
                    await terminal.Error.WriteLineAsync(sentence);
                    return Failed;
                }
            }
        );

    /// <param name="parse">The command line.</param>
    /// <param name="terminal">Where it was typed.</param>
    /// <param name="sections">The sections that the command uses, for example "Store": faults elsewhere do not concern it. None means all.</param>
    public static Settings Settings(
        this ParseResult parse,
        Terminal terminal,
        params string[] sections
    ) => SettingsLoader.Load(parse.GetValue(Config), terminal.Folder, sections: sections);

    private static async Task TellFaults(Terminal terminal, SettingsException e)
    {
        var where = e.File ?? "no file; defaults and environment";
        var count = e.Faults.Count == 1 ? "1 fault" : $"{e.Faults.Count} faults";
        await terminal.Error.WriteLineAsync($"The configuration ({where}) has {count}:");
        foreach (var fault in e.Faults)
        {
            await terminal.Error.WriteLineAsync($"  - {fault}");
        }
    }
}
