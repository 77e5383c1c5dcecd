using OpenTelemetry;
using OpenTelemetry.Logs;

namespace TurfWatch.Host.Telemetry;

/// <summary>Masks mail addresses in what is sent to a log collector, as <see cref="MaskedConsole"/> does on the console.</summary>
internal sealed class MaskedRecords : BaseProcessor<LogRecord>
{
    public override void OnEnd(LogRecord data)
    {
        data.FormattedMessage = data.FormattedMessage is { } text ? AddressMask.In(text) : null;
        var attributes = new List<KeyValuePair<string, object?>>();
        foreach (var (key, value) in data.Attributes ?? [])
        {
            attributes.Add(new(key, value is string s ? AddressMask.In(s) : value));
        }

        if (data.Exception is { } failure)
        {
            // Messages of exceptions quote what was wrong, and that may be an address.
            attributes.Add(new("exception.type", failure.GetType().FullName));
            attributes.Add(new("exception.stacktrace", AddressMask.In(failure.ToString())));
            data.Exception = null;
        }

        data.Attributes = attributes;
    }
}
