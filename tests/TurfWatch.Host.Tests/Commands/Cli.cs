using TurfWatch.Host.Commands;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>What a command answered.</summary>
internal sealed record CliAnswer(int Exit, string Out, string Error);

/// <summary>Runs the program in this process, in a folder of its own.</summary>
internal static class Cli
{
    public static async Task<CliAnswer> RunAsync(
        Scratch scratch,
        TimeProvider clock,
        params string[] args
    )
    {
        // Without one of its own it would read the file that this machine may have in /etc.
        if (!File.Exists(Path.Combine(scratch.Folder, "config/turfwatch.json")))
        {
            scratch.Write("config/turfwatch.json", "{}");
        }

        await using var output = new StringWriter();
        await using var error = new StringWriter();
        var terminal = new Terminal(output, error, Interactive: false, clock, scratch.Folder);
        var exit = await TurfWatchCommand.RunAsync(
            args,
            terminal,
            TestContext.Current.CancellationToken
        );
        return new(exit, output.ToString(), error.ToString());
    }

    /// <summary>A configuration that keeps its data in the scratch folder.</summary>
    public static string Config(Scratch scratch, string more = "") =>
        scratch.Write(
            "t.json",
            $$"""
            {
              "Weather": { "Contact": "ops@example.org", "CacheDirectory": "{{scratch.Folder}}/cache" },
              "Store": { "DataDirectory": "{{scratch.Folder}}/data" }{{(
                more.Length > 0 ? "," : ""
            )}}
              {{more}}
            }
            """
        );
}
