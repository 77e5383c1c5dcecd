using System.Formats.Tar;
using System.IO.Compression;
using System.Security.Cryptography;
using NodaTime;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>
/// One file with all that a service needs to come back: a copy of the database and the keys. A tar archive, gzipped; the
/// manifest comes first and has the SHA-256 of each part.
/// </summary>
internal static class BackupFile
{
    private const UnixFileMode OursAlone = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    /// <summary>
    /// Makes a backup, reads it back, and only then gives it its name. The service may run meanwhile.
    /// </summary>
    /// <param name="store">The database.</param>
    /// <param name="keys">Files that go with it, by their names in the archive; read after the database, so that they hold every key it leans on.</param>
    /// <param name="to">The file; it must not exist.</param>
    /// <param name="now">The moment.</param>
    public static async Task<BackupManifest> MakeAsync(
        StoreOptions store,
        IReadOnlyDictionary<string, string> keys,
        string to,
        Instant now,
        CancellationToken cancel
    )
    {
        var (copy, draft) = (to + ".db.part", to + ".part");
        Delete(copy, draft);
        try
        {
            var holds = await StoreCopies.TakeAsync(store, copy, cancel);
            var parts = new List<(BackupPart Part, string Path)>
            {
                (await PartAsync(StoreCopies.NameOf(store), copy, cancel), copy),
            };
            foreach (var (name, path) in keys)
            {
                parts.Add((await PartAsync(name, path, cancel), path));
            }

            var manifest = new BackupManifest
            {
                Format = BackupManifest.NewestFormat,
                Program = BackupManifest.ThisProgram,
                MadeAt = Instant.FromUnixTimeSeconds(now.ToUnixTimeSeconds()).ToString(),
                Holds = holds,
                Parts = [.. parts.Select(p => p.Part)],
            };
            await WriteAsync(draft, manifest, parts.Select(p => (p.Part.Name, p.Path)), cancel);
            Delete(copy);
            await ReadAsync(draft, (_, _) => Stream.Null, cancel);
            File.Move(draft, to, overwrite: false);
            return manifest;
        }
        finally
        {
            Delete(copy, draft);
        }
    }

    /// <summary>
    /// Reads a backup from its first byte to its last and holds each part to its manifest.
    /// </summary>
    /// <param name="file">The file.</param>
    /// <param name="open">Where a part is written to; it is asked once for each, after the manifest is read.</param>
    /// <exception cref="InvalidDataException">It is damaged, no backup, or made by a newer program.</exception>
    public static async Task<BackupManifest> ReadAsync(
        string file,
        Func<BackupManifest, BackupPart, Stream> open,
        CancellationToken cancel
    )
    {
        try
        {
            await using var packed = File.OpenRead(file);
            await using var unpacked = new GZipStream(packed, CompressionMode.Decompress);
            await using var tar = new TarReader(unpacked);
            var manifest = await tar.GetNextEntryAsync(cancellationToken: cancel)
                is { Name: BackupManifest.Name, DataStream: { } head }
                ? BackupManifest.Read(head, file)
                : throw Damaged(file, $"it does not begin with {BackupManifest.Name}");
            foreach (var part in manifest.Parts)
            {
                var entry = await tar.GetNextEntryAsync(cancellationToken: cancel);
                if (entry?.Name != part.Name || entry.DataStream is not { } data)
                {
                    throw Damaged(file, $"it lacks {part.Name}");
                }

                await using var target = open(manifest, part);
                await CopyAsync(data, target, part, file, cancel);
            }

            if (await tar.GetNextEntryAsync(cancellationToken: cancel) is not null)
            {
                throw Damaged(file, "it holds more than it says");
            }

            // To the last byte: a file that was cut off is not all there, even if only its padding is missing.
            await unpacked.CopyToAsync(Stream.Null, cancel);
            return manifest;
        }
        catch (Exception e)
            when (e is EndOfStreamException or FormatException
                || (
                    e is InvalidDataException && !e.Message.Contains(file, StringComparison.Ordinal)
                )
            )
        {
            throw Damaged(file, e.Message.TrimEnd('.'), e);
        }
    }

    public static InvalidDataException Damaged(string file, string why, Exception? inner = null) =>
        new(
            $"The backup {file} is damaged or none of ours: {why}. Nothing was changed. Use another backup.",
            inner
        );

    private static async Task<BackupPart> PartAsync(
        string name,
        string path,
        CancellationToken cancel
    )
    {
        await using var file = File.OpenRead(path);
        return new(
            name,
            file.Length,
            Convert.ToHexStringLower(await SHA256.HashDataAsync(file, cancel))
        );
    }

    private static async Task WriteAsync(
        string draft,
        BackupManifest manifest,
        IEnumerable<(string Name, string Path)> parts,
        CancellationToken cancel
    )
    {
        await using var file = new FileStream(
            draft,
            new FileStreamOptions
            {
                Mode = FileMode.CreateNew,
                Access = FileAccess.Write,
                UnixCreateMode = OursAlone,
            }
        );
        await using (var gzip = new GZipStream(file, CompressionLevel.Fastest, leaveOpen: true))
        await using (var tar = new TarWriter(gzip, TarEntryFormat.Pax))
        {
            await AddAsync(
                tar,
                BackupManifest.Name,
                new MemoryStream(manifest.Write()),
                manifest,
                cancel
            );
            foreach (var (name, path) in parts)
            {
                await using var data = File.OpenRead(path);
                await AddAsync(tar, name, data, manifest, cancel);
            }
        }

        file.Flush(flushToDisk: true);
    }

    private static Task AddAsync(
        TarWriter tar,
        string name,
        Stream data,
        BackupManifest manifest,
        CancellationToken cancel
    ) =>
        tar.WriteEntryAsync(
            new PaxTarEntry(TarEntryType.RegularFile, name)
            {
                Mode = OursAlone,
                ModificationTime = manifest.Moment().ToDateTimeOffset(),
                DataStream = data,
            },
            cancel
        );

    private static async Task CopyAsync(
        Stream from,
        Stream to,
        BackupPart part,
        string file,
        CancellationToken cancel
    )
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var buffer = new byte[1 << 20];
        long bytes = 0;
        for (int read; (read = await from.ReadAsync(buffer, cancel)) > 0; bytes += read)
        {
            hash.AppendData(buffer, 0, read);
            await to.WriteAsync(buffer.AsMemory(0, read), cancel);
        }

        if (bytes != part.Bytes || Convert.ToHexStringLower(hash.GetHashAndReset()) != part.Sha256)
        {
            throw Damaged(file, $"{part.Name} in it is not what was written");
        }
    }

    private static void Delete(params IReadOnlyList<string> paths)
    {
        foreach (var path in paths)
        {
            File.Delete(path);
        }
    }
}
