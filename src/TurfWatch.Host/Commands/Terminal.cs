namespace TurfWatch.Host.Commands;

/// <summary>What a command reads from and writes to: the process's own, or a test's.</summary>
/// <param name="Out">What was asked for.</param>
/// <param name="Error">Complaints and progress.</param>
/// <param name="Interactive">A person watches: bars may be drawn.</param>
/// <param name="Clock">The time.</param>
/// <param name="Folder">The working directory.</param>
public sealed record Terminal(
    TextWriter Out,
    TextWriter Error,
    bool Interactive,
    TimeProvider Clock,
    string Folder
)
{
    /// <summary>Where a person answers questions; null when nobody is there to answer.</summary>
    public TextReader? In { get; init; }

    public static Terminal OfProcess() =>
        new(
            Console.Out,
            Console.Error,
            !Console.IsErrorRedirected,
            TimeProvider.System,
            Directory.GetCurrentDirectory()
        )
        {
            In = Console.IsInputRedirected ? null : Console.In,
        };
}
