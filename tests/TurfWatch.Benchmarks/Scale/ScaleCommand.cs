using System.Diagnostics;
using TurfWatch.Testing;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>
/// What the service costs as it grows. Each part runs in a process of its own, so that none warms up or fills the memory of
/// another; every figure that decides is a ratio within one run, for the machine may be busy.
/// </summary>
internal static class ScaleCommand
{
    private static readonly (string Name, string What, Func<string[], Task> Run)[] Parts =
    [
        ("delivery", "compose, claim, send, commit, beside smtp-source", DeliveryScale.RunAsync),
        ("morning", "the morning of many lawns, weather in the store", MorningScale.RunAsync),
        ("workers", "two workers beside one, slow relay", WorkersScale.RunAsync),
        ("fetch", "the weather of many cells from slow services", FetchScale.RunAsync),
        ("serve", "start, idle memory, the sign-up page", ServeScale.RunAsync),
    ];

    public static string Names => string.Join(", ", Parts.Select(p => p.Name));

    public static async Task<int> RunAsync(string[] args)
    {
        // What is kept in memory otherwise, so that the disk of the machine does not decide.
        if (args is [.. var before, "--disk"])
        {
            ScratchFolder.UseDisk();
            args = before;
        }

        if (args is [var name, .. var rest])
        {
            if (Parts.FirstOrDefault(p => p.Name == name) is not { Run: { } run })
            {
                Console.Error.WriteLine($"'{name}' is no part of scale; give one of {Names}.");
                return 2;
            }

            await run(rest);
            return 0;
        }

        Console.WriteLine(
            $"{Machine.Describe()}\nEach part in a process of its own; ratios are within one run."
        );
        foreach (var part in Parts)
        {
            Console.WriteLine($"\n== {part.Name}: {part.What}");
            using var process = Process.Start(
                new ProcessStartInfo(
                    "dotnet",
                    [typeof(ScaleCommand).Assembly.Location, "scale", part.Name]
                )
            )!;
            await process.WaitForExitAsync();
            if (process.ExitCode != 0)
            {
                Console.WriteLine($"  {part.Name} failed ({process.ExitCode}); the others go on");
            }
        }

        return 0;
    }
}
