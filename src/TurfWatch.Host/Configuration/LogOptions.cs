namespace TurfWatch.Host.Configuration;

public sealed class LogOptions
{
    public const string Section = "Log";

    /// <summary>The least that is logged: Trace, Debug, Information, Warning, Error, Critical or None.</summary>
    public LogLevel Level { get; set; } = LogLevel.Information;

    /// <summary>Write each log line as a JSON object, for a log collector.</summary>
    public bool Json { get; set; }
}
