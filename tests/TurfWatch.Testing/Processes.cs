using System.Diagnostics;

namespace TurfWatch.Testing;

/// <summary>Other programs.</summary>
public static class Processes
{
    /// <summary>Runs a program to its end; its exit code.</summary>
    public static int Run(string program, params string[] arguments)
    {
        using var process = Process.Start(program, arguments);
        process.WaitForExit();
        return process.ExitCode;
    }
}
