using System.CommandLine;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace TurfWatch.Host.Commands;

/// <summary>What a command found, for programs.</summary>
internal static class JsonOutput
{
    private static readonly JsonSerializerOptions Options = new()
    {
        WriteIndented = true,
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public static Option<bool> Option() => new("--json") { Description = "Print it as JSON." };

    public static Task WriteAsync<T>(Terminal terminal, T found) =>
        terminal.Out.WriteLineAsync(JsonSerializer.Serialize(found, Options));
}
