namespace TurfWatch.Host.Commands;

/// <summary>The command was given something it cannot use; says what, and what to write instead.</summary>
public sealed class MisuseException(params IReadOnlyList<string> faults)
    : Exception(string.Join(Environment.NewLine, faults))
{
    public IReadOnlyList<string> Faults { get; } = faults;
}
