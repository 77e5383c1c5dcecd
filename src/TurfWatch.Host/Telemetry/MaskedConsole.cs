using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Logging.Console;

namespace TurfWatch.Host.Telemetry;

/// <summary>
/// Writes log lines as one of the framework's formatters does, with every mail address in them masked. The code
/// logs none; what libraries and exceptions say is not ours to choose.
/// </summary>
/// <param name="services">Has the framework's formatters.</param>
/// <param name="json">Lines of JSON rather than of text.</param>
internal sealed class MaskedConsole(IServiceProvider services, bool json)
    : ConsoleFormatter(FormatterName)
{
    public const string FormatterName = "masked";

    private readonly Lazy<ConsoleFormatter> _inner = new(() =>
        services
            .GetServices<ConsoleFormatter>()
            .Single(f =>
                f.Name == (json ? ConsoleFormatterNames.Json : ConsoleFormatterNames.Simple)
            )
    );

    public override void Write<TState>(
        in LogEntry<TState> logEntry,
        IExternalScopeProvider? scopeProvider,
        TextWriter textWriter
    )
    {
        using var line = new StringWriter();
        _inner.Value.Write(in logEntry, scopeProvider, line);
        textWriter.Write(AddressMask.In(OneLine(line.ToString())));
    }

    /// <summary>
    /// What is written stays the line that it is: what came from outside must not begin another that looks like ours, nor
    /// steer a terminal.
    /// </summary>
    internal static string OneLine(string text)
    {
        var body = text.AsSpan().TrimEnd('\n');
        return body.ContainsAnyInRange('\0', '\x1f') || body.ContainsAnyInRange('\x7f', '\x9f')
            ? string.Concat(body.ToString().Select(c => char.IsControl(c) ? ' ' : c)) + "\n"
            : text;
    }
}
