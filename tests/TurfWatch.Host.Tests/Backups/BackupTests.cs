using System.Formats.Tar;
using System.IO.Compression;
using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

public sealed class BackupTests : IDisposable
{
    private readonly OperatorBench _bench = new();

    private string Backup => _bench.PathOf("b.tar.gz");

    private string Second => _bench.PathOf("second");

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task A_backup_made_beside_a_running_service_brings_all_of_it_back()
    {
        await _bench.FillAsync();
        var link = LinkTokens.Open(_bench.Data).Issue("unsubscribe", 2);
        await using (await _bench.OpenAsync())
        {
            var said = await _bench.DoneAsync("backup --to b.tar.gz");
            Assert.Contains(
                "3 subscribers, 3 lawns, 3 journal lines, 3 messages",
                said,
                StringComparison.Ordinal
            );
        }

        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Backup));
        // No draft is left, and any tar program reads it.
        Assert.Equal([Backup], Directory.GetFiles(_bench.Folder, "b.*"));
        Assert.Equal(["manifest.json", "turfwatch.db", "link-keys"], await NamesAsync());

        var restored = await _bench.DoneAsync($"restore --from b.tar.gz --into {Second}");
        Assert.Contains("Nothing is sent yet", restored, StringComparison.Ordinal);
        await using var store = await _bench.OpenAsync(Second);
        var person = (await store.Subscribers.FindAsync("p1@example.com", OperatorBench.Cancel))!;
        Assert.Single(
            (await store.Journal.LoadAsync(person.Lawns[0].Id, OperatorBench.Cancel)).Entries
        );
        Assert.True(LinkTokens.Open(Second).TryRead("unsubscribe", link, out var who));
        Assert.Equal(2, who);
        foreach (var file in Directory.GetFiles(Second))
        {
            Assert.Equal(
                UnixFileMode.UserRead | UnixFileMode.UserWrite,
                File.GetUnixFileMode(file) & ~(UnixFileMode.GroupRead | UnixFileMode.OtherRead) // The lock file holds a process id.
            );
        }

        Assert.Empty(Directory.GetFiles(Second, "*.restoring*"));
    }

    [Fact]
    public async Task Nothing_that_is_there_is_written_over()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        Assert.Contains(
            "is there already",
            await _bench.RefusedAsync("backup --to b.tar.gz"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "there is no folder",
            await _bench.RefusedAsync("backup --to no/such/b.tar.gz"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "is not empty (it holds link-keys, turfwatch.db",
            await _bench.RefusedAsync("restore --from b.tar.gz"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "there is no such file",
            await _bench.RefusedAsync("restore --from c.tar.gz"),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "There is no database",
            await _bench.RefusedAsync("backup --to e.tar.gz", exit: 1, folder: _bench.PathOf("e")),
            StringComparison.Ordinal
        );
        Assert.False(File.Exists(_bench.PathOf("e.tar.gz")));
    }

    [Fact]
    public async Task A_folder_that_a_service_runs_on_is_left_alone()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await using var running = await _bench.OpenAsync();
        Assert.Contains(
            "already running on the folder",
            await _bench.RefusedAsync("restore --from b.tar.gz --replace", exit: 1),
            StringComparison.Ordinal
        );
        Assert.NotNull(await running.Subscribers.FindAsync("p0@example.com", OperatorBench.Cancel));
    }

    [Fact]
    public async Task What_is_replaced_is_set_aside_and_not_deleted()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await _bench.DoneAsync("erase --email p0@example.com --yes");
        var said = await _bench.DoneAsync("restore --from b.tar.gz --replace");
        var aside = Assert.Single(Directory.GetDirectories(_bench.Data, "replaced-*"));
        Assert.Contains(Path.GetFileName(aside), said, StringComparison.Ordinal);
        await using (var back = await _bench.OpenAsync())
        {
            Assert.NotNull(
                await back.Subscribers.FindAsync("p0@example.com", OperatorBench.Cancel)
            );
        }

        await using var before = await _bench.OpenAsync(aside);
        Assert.Null(await before.Subscribers.FindAsync("p0@example.com", OperatorBench.Cancel));
        Assert.NotNull(await before.Subscribers.FindAsync("p1@example.com", OperatorBench.Cancel));
    }

    [Fact]
    public async Task A_damaged_backup_is_refused_wherever_it_is_damaged_and_leaves_no_store_behind()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        var sound = await File.ReadAllBytesAsync(Backup, OperatorBench.Cancel);
        var damages = new List<(string Name, byte[] Bytes)>
        {
            ("empty", []),
            ("text", "Dear diary, today I mowed."u8.ToArray()),
            ("cut in half", sound[..(sound.Length / 2)]),
            ("its last bytes cut off", sound[..^40]),
        };
        for (var at = 12; at < sound.Length - 64; at += sound.Length / 25)
        {
            var flipped = sound.ToArray();
            flipped[at] ^= 0x10;
            // Some bits of a packed stream mean nothing; such a file says what it always said. The last 64 bytes are
            // padding and a checksum of what the SHA-256 of each part says already.
            if (!Unpacked(flipped).SequenceEqual(Unpacked(sound)))
            {
                damages.Add(($"byte {at} changed", flipped));
            }
        }

        Assert.True(damages.Count > 20);
        foreach (var (name, bytes) in damages)
        {
            await File.WriteAllBytesAsync(
                _bench.PathOf("damaged.tar.gz"),
                bytes,
                OperatorBench.Cancel
            );
            var answer = await _bench.RunAsync($"restore --from damaged.tar.gz --into {Second}");
            Assert.True(answer.Exit == 1, $"{name}: {answer.Exit} {answer.Out}{answer.Error}");
            Assert.Contains("damaged or none of ours", answer.Error, StringComparison.Ordinal);
            Assert.Equal(
                ["turfwatch.lock"],
                Directory.GetFileSystemEntries(Second).Select(Path.GetFileName)
            );
        }

        // After all that the folder still takes a sound one.
        await _bench.DoneAsync($"restore --from b.tar.gz --into {Second}");
    }

    [Fact]
    public async Task An_archive_that_somebody_made_leads_nowhere_outside_the_folder()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await RewriteAsync(text => text.Replace("link-keys", "../evil", StringComparison.Ordinal));
        Assert.Contains(
            "it holds '../evil'",
            await _bench.RefusedAsync($"restore --from b.tar.gz --into {Second}", exit: 1),
            StringComparison.Ordinal
        );
        Assert.False(File.Exists(_bench.PathOf("evil")));
    }

    [Fact]
    public async Task A_backup_of_a_newer_program_is_refused_with_both_versions()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        var schema = $"\"schema\": {StoreCopies.NewestSchema}";
        await RewriteAsync(text =>
            text.Replace(schema, "\"schema\": 99", StringComparison.Ordinal)
        );
        var said = await _bench.RefusedAsync($"restore --from b.tar.gz --into {Second}", exit: 1);
        Assert.Contains("schema 99", said, StringComparison.Ordinal);
        Assert.Contains($"knows {StoreCopies.NewestSchema}", said, StringComparison.Ordinal);

        await RewriteAsync(text =>
            text.Replace("\"format\": 1", "\"format\": 2", StringComparison.Ordinal)
        );
        Assert.Contains(
            "made by a newer TurfWatch",
            await _bench.RefusedAsync($"restore --from b.tar.gz --into {Second}", exit: 1),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_damaged_database_is_not_backed_up_as_if_it_were_sound()
    {
        await _bench.FillAsync(people: 200);
        SqliteConnection.ClearAllPools();
        var path = Path.Combine(_bench.Data, "turfwatch.db");
        var bytes = await File.ReadAllBytesAsync(path, OperatorBench.Cancel);
        Array.Fill(bytes, (byte)0x5A, bytes.Length / 2, 8192);
        await File.WriteAllBytesAsync(path, bytes, OperatorBench.Cancel);

        Assert.Contains(
            "is not a sound TurfWatch database",
            await _bench.RefusedAsync("backup --to b.tar.gz", exit: 1),
            StringComparison.Ordinal
        );
        Assert.Empty(Directory.GetFiles(_bench.Folder, "b.*"));
    }

    // The operator restores as root; the service runs as its own user, and must be able to hold the folder.
    [Fact]
    public async Task All_that_root_restores_belongs_to_the_owner_of_the_folder()
    {
        Needs.That(Environment.IsPrivilegedProcess, "only root can give files away");
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        Directory.CreateDirectory(Second);
        Assert.Equal(0, Processes.Run("chown", "nobody", Second));

        await _bench.DoneAsync($"restore --from b.tar.gz --into {Second}");

        Assert.Equal(3, Directory.GetFiles(Second).Length);
        Assert.All(
            Directory.GetFiles(Second),
            f => Assert.Equal(0, Processes.Run("sh", "-c", $"[ \"$(stat -c %U {f})\" = nobody ]"))
        );
    }

    [Fact]
    public async Task A_full_disk_leaves_no_half_backup_and_no_half_store()
    {
        Needs.That(
            Environment.IsPrivilegedProcess,
            "the test must mount a small file system: run it as root"
        );
        await _bench.FillAsync(people: 300);
        await _bench.DoneAsync("backup --to b.tar.gz");
        var small = Directory.CreateDirectory(_bench.PathOf("small")).FullName;
        Needs.That(
            Processes.Run("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", small) == 0,
            "this machine (a container without CAP_SYS_ADMIN?) does not let root mount a file system"
        );
        try
        {
            var noRoom = await _bench.RefusedAsync($"backup --to {small}/c.tar.gz", exit: 1);
            Assert.Contains("full", noRoom, StringComparison.Ordinal);
            Assert.Empty(Directory.GetFileSystemEntries(small));

            noRoom = await _bench.RefusedAsync(
                $"restore --from b.tar.gz --into {small}/data",
                exit: 1
            );
            Assert.Contains("full", noRoom, StringComparison.Ordinal);
            Assert.Equal(
                ["turfwatch.lock"],
                Directory.GetFileSystemEntries($"{small}/data").Select(Path.GetFileName)
            );
        }
        finally
        {
            Processes.Run("umount", "-l", small);
        }
    }

    private static byte[] Unpacked(byte[] packed)
    {
        using var gzip = new GZipStream(new MemoryStream(packed), CompressionMode.Decompress);
        using var bytes = new MemoryStream();
        try
        {
            gzip.CopyTo(bytes);
        }
        catch (InvalidDataException)
        {
            // What was read until then counts.
        }

        return bytes.ToArray();
    }

    private async Task<List<string>> NamesAsync()
    {
        await using var file = File.OpenRead(Backup);
        await using var gzip = new GZipStream(file, CompressionMode.Decompress);
        await using var tar = new TarReader(gzip);
        var names = new List<string>();
        while (await tar.GetNextEntryAsync(cancellationToken: OperatorBench.Cancel) is { } entry)
        {
            names.Add(entry.Name);
        }

        return names;
    }

    /// <summary>Writes the archive anew with another manifest.</summary>
    private async Task RewriteAsync(Func<string, string> change)
    {
        var entries = new List<(string Name, byte[] Bytes)>();
        await using (var file = File.OpenRead(Backup))
        await using (var gzip = new GZipStream(file, CompressionMode.Decompress))
        await using (var tar = new TarReader(gzip))
        {
            while (
                await tar.GetNextEntryAsync(true, OperatorBench.Cancel)
                    is { DataStream: { } data } entry
            )
            {
                using var copy = new MemoryStream();
                await data.CopyToAsync(copy, OperatorBench.Cancel);
                entries.Add((entry.Name, copy.ToArray()));
            }
        }

        await using var target = File.Create(Backup);
        await using var packed = new GZipStream(target, CompressionLevel.Fastest);
        await using var writer = new TarWriter(packed, TarEntryFormat.Pax);
        foreach (var (name, bytes) in entries)
        {
            var manifest = name == "manifest.json";
            var text = manifest ? change(System.Text.Encoding.UTF8.GetString(bytes)) : "";
            Assert.True(!manifest || text != System.Text.Encoding.UTF8.GetString(bytes));
            await writer.WriteEntryAsync(
                new PaxTarEntry(TarEntryType.RegularFile, manifest ? name : change(name))
                {
                    DataStream = new MemoryStream(
                        manifest ? System.Text.Encoding.UTF8.GetBytes(text) : bytes
                    ),
                },
                OperatorBench.Cancel
            );
        }
    }
}
