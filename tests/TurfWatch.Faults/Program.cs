using TurfWatch.Faults.Storm;
using Xunit.MicrosoftTestingPlatform;
using Xunit.Runner.InProc.SystemConsole;

namespace TurfWatch.Faults;

/// <summary>The fault tests, or with <c>storm</c> as the first word the kill storm (<c>tests/faults</c>).</summary>
internal static class Program
{
    public static Task<int> Main(string[] args) =>
        args switch
        {
            ["storm", .. var rest] => StormCommand.RunAsync(rest),
            _ when args.Any(a => a is "--server" or "--internal-msbuild-node") =>
                TestPlatformTestFramework.RunAsync(
                    args,
                    SelfRegisteredExtensions.AddSelfRegisteredExtensions
                ),
            _ => ConsoleRunner.Run(args),
        };
}
