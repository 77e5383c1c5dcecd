using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Microsoft.Extensions.Logging;
using NodaTime;

namespace TurfWatch.Weather.Http;

/// <summary>A good answer as it is kept on disk.</summary>
internal sealed record KeptAnswer(
    string Url,
    string ContentType,
    string? ETag,
    string? LastModified,
    long CheckedAtUnix,
    long FreshUntilUnix,
    string Sha256,
    byte[] Body
)
{
    public Instant CheckedAt => Instant.FromUnixTimeSeconds(CheckedAtUnix);

    public Instant FreshUntil => Instant.FromUnixTimeSeconds(FreshUntilUnix);
}

/// <summary>
/// Good answers on disk, one file each: a line of JSON, then the body. A file that cannot be read is
/// forgotten and a file that cannot be written is done without; neither stops a fetch.
/// </summary>
internal sealed partial class WeatherCache(
    WeatherOptions options,
    TimeProvider time,
    ILogger<WeatherCache> logger
)
{
    private static readonly TimeSpan PruneEvery = TimeSpan.FromHours(6);
    private readonly Lock _pruneLock = new();
    private DateTimeOffset _pruned = DateTimeOffset.MinValue;

    public KeptAnswer? Read(string url)
    {
        if (options.CacheDirectory.Length == 0)
        {
            return null;
        }

        var path = PathOf(url);
        try
        {
            var bytes = File.ReadAllBytes(path);
            var cut = Array.IndexOf(bytes, (byte)'\n');
            var head = JsonSerializer.Deserialize<KeptAnswer>(bytes.AsSpan(0, Math.Max(cut, 0)));
            var body = bytes[(cut + 1)..];
            if (head?.Url == url && head.Sha256 == Hash(body))
            {
                return head with { Body = body };
            }

            LogCorrupt(path, "its checksum or address does not fit");
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            return null;
        }
        catch (Exception e) when (IsFileTrouble(e) || e is JsonException)
        {
            LogCorrupt(path, e.Message);
        }

        Forget(path);
        return null;
    }

    public void Write(KeptAnswer answer)
    {
        if (options.CacheDirectory.Length == 0)
        {
            return;
        }

        var path = PathOf(answer.Url);
        var temporary = $"{path}.{Guid.NewGuid():N}.tmp";
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            var head = answer with { Body = [], Sha256 = Hash(answer.Body) };
            using (var file = File.Create(temporary))
            {
                JsonSerializer.Serialize(file, head);
                file.WriteByte((byte)'\n');
                file.Write(answer.Body);
            }

            File.Move(temporary, path, overwrite: true);
            Prune();
        }
        catch (Exception e) when (IsFileTrouble(e))
        {
            LogNotKept(options.CacheDirectory, e.Message);
            Forget(temporary);
        }
    }

    private void Prune()
    {
        var now = time.GetUtcNow();
        lock (_pruneLock)
        {
            if (now - _pruned < PruneEvery)
            {
                return;
            }

            _pruned = now;
        }

        var files = new DirectoryInfo(options.CacheDirectory)
            .EnumerateFiles("*", SearchOption.AllDirectories)
            .Where(f => f.Extension is ".answer" or ".tmp")
            .OrderByDescending(f => f.LastWriteTimeUtc)
            .ToList();
        var room = options.CacheMegabytes * 1024L * 1024L;
        foreach (var file in files)
        {
            room -= file.Length;
            var abandoned =
                file.Extension == ".tmp" && file.LastWriteTimeUtc < now.UtcDateTime.AddHours(-1);
            if (room < 0 || abandoned)
            {
                Forget(file.FullName);
            }
        }
    }

    private string PathOf(string url)
    {
        var name = Hash(Encoding.UTF8.GetBytes(url))[..32];
        return Path.Combine(options.CacheDirectory, name[..2], name + ".answer");
    }

    private static string Hash(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    private static bool IsFileTrouble(Exception e) =>
        e
            is IOException
                or UnauthorizedAccessException
                or NotSupportedException
                or ArgumentException;

    private static void Forget(string path)
    {
        try
        {
            File.Delete(path);
        }
        catch (Exception e) when (IsFileTrouble(e))
        {
            // Nothing hangs on it: the next write replaces the file.
        }
    }

    [LoggerMessage(
        Level = LogLevel.Warning,
        Message = "Kept weather answer {Path} is not usable and was dropped: {Reason}"
    )]
    private partial void LogCorrupt(string path, string reason);

    [LoggerMessage(
        Level = LogLevel.Warning,
        Message = "Weather answers cannot be kept in {Directory}, going on without: {Reason}"
    )]
    private partial void LogNotKept(string directory, string reason);
}
