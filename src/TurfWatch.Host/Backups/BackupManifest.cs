using System.Reflection;
using System.Text.Json;
using NodaTime;
using NodaTime.Text;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>A file in a backup.</summary>
/// <param name="Name">Its name in the archive.</param>
/// <param name="Bytes">Its size.</param>
/// <param name="Sha256">Its SHA-256, in hexadecimal.</param>
internal sealed record BackupPart(string Name, long Bytes, string Sha256);

/// <summary>The first file of a backup: what it is, of when, and what follows.</summary>
internal sealed record BackupManifest
{
    public const string Name = "manifest.json";

    /// <summary>The form of the archive; a program refuses one that is newer than it knows.</summary>
    public const int NewestFormat = 1;

    private static readonly JsonSerializerOptions Readable = new()
    {
        WriteIndented = true,
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
    };

    public required int Format { get; init; }

    /// <summary>The version of the program that made it.</summary>
    public required string Program { get; init; }

    /// <summary>The moment that it shows, ISO 8601.</summary>
    public required string MadeAt { get; init; }

    public required StoreContents Holds { get; init; }

    public required IReadOnlyList<BackupPart> Parts { get; init; }

    public static string ThisProgram { get; } =
        typeof(BackupManifest)
            .Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()
            ?.InformationalVersion
        ?? "unknown";

    public Instant Moment() => InstantPattern.ExtendedIso.Parse(MadeAt).GetValueOrThrow();

    public byte[] Write() => JsonSerializer.SerializeToUtf8Bytes(this, Readable);

    /// <exception cref="InvalidDataException">It is no manifest of ours, or a newer one.</exception>
    public static BackupManifest Read(Stream stream, string file)
    {
        try
        {
            var manifest =
                JsonSerializer.Deserialize<BackupManifest>(stream, Readable)
                ?? throw new JsonException("it is empty");
            if (manifest.Format > NewestFormat)
            {
                throw new InvalidDataException(
                    $"The backup {file} was made by a newer TurfWatch ({manifest.Program}); this is {ThisProgram}. Nothing was changed. Use the newer program."
                );
            }

            return InstantPattern.ExtendedIso.Parse(manifest.MadeAt).Success
                ? manifest
                : throw new JsonException($"madeAt is '{manifest.MadeAt}'");
        }
        catch (JsonException e)
        {
            throw BackupFile.Damaged(file, $"its {Name} cannot be read: {e.Message}", e);
        }
    }
}
