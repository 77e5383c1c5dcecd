using System.Globalization;
using TurfWatch.Faults.Judging;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>One line a fault, on the test's output and, with TURFWATCH_FAULTS_REPORT, at the end of that file as a row of a table.</summary>
internal static class FaultReport
{
    private static readonly Lock Gate = new();

    public static void Write(string fault, int seed, Verdict verdict)
    {
        TestContext.Current.TestOutputHelper?.WriteLine($"{fault}: seed {seed}, {verdict}");
        if (
            Environment.GetEnvironmentVariable("TURFWATCH_FAULTS_REPORT")
            is not { Length: > 0 } path
        )
        {
            return;
        }

        var row = string.Create(
            CultureInfo.InvariantCulture,
            $"| {fault} | {verdict.Rows} | {verdict.Sent} | {verdict.Duplicates} | {verdict.Lost} | "
                + $"{verdict.Unknown} ({verdict.UnknownArrived}) | {verdict.SecondCopies} | "
                + $"{verdict.Recovery.TotalSeconds:0.0} | {(verdict.Breaches.IsEmpty ? "held" : "BROKEN")} |\n"
        );
        lock (Gate)
        {
            File.AppendAllText(path, row);
        }
    }
}
