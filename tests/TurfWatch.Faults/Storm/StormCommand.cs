namespace TurfWatch.Faults.Storm;

internal static class StormCommand
{
    public static Task<int> RunAsync(string[] args) => Task.FromResult(args.Length);
}
