using System.Diagnostics;
using System.Formats.Tar;
using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <content>Copies that are damaged, refused, cut off, or killed half way.</content>
public sealed partial class PostgresBackupTests
{
    [Fact]
    public async Task A_dump_that_breaks_off_is_found_before_anything_is_changed()
    {
        await _bench.FillAsync(people: 50);
        await _bench.DoneAsync("backup --to b.tar.gz");
        await RewriteAsync(dump => dump[..(dump.Length * 2 / 3)]);

        Assert.Contains(
            "pg_restore ended with 1",
            await _bench.RefusedAsync("restore --from b.tar.gz --replace", exit: 1),
            StringComparison.Ordinal
        );

        Assert.Equal(50, await RowsAsync("subscriber"));
        await (await _bench.OpenAsync()).DisposeAsync();
    }

    [Fact]
    public async Task When_the_server_refuses_the_copy_all_is_as_it_was()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await _bench.DoneAsync("erase --email p0@example.com --yes");
        await RenameAsync();
        await ExecuteAsync("CREATE VIEW season_plan AS SELECT 1 AS x");

        var refused = await _bench.RefusedAsync("restore --from b.tar.gz --replace", exit: 1);

        Assert.Contains(
            "relation \"season_plan\" already exists",
            refused,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain("CREATE TABLE", refused, StringComparison.Ordinal);
        Assert.Equal(2, await RowsAsync("subscriber"));
        Assert.Equal(
            0L,
            await _server.ExecuteAsync(
                _database,
                "SELECT COUNT(*) FROM pg_namespace WHERE nspname LIKE 'replaced%'",
                Cancel
            )
        );
    }

    [Fact]
    public async Task A_backup_that_is_killed_leaves_no_file_of_that_name_and_nothing_that_runs_on()
    {
        await _bench.FillAsync();
        await using var blocker = await BlockAsync("LOCK TABLE year_days IN ACCESS EXCLUSIVE MODE");
        using var backup = Start("backup --to b.tar.gz", _bench.Data);
        var dump = await WaitingAsync();
        Assert.Contains("pg_dump", CommandLine(dump), StringComparison.Ordinal);
        Assert.DoesNotContain(LockedServer.Password, CommandLine(dump), StringComparison.Ordinal);
        backup.Kill();
        await backup.WaitForExitAsync(Cancel);
        await blocker.DisposeAsync();

        Assert.False(File.Exists(Backup));
        await UntilAsync(async () => await CopiersAsync() == 0);
        await _bench.DoneAsync("backup --to b.tar.gz");
        Assert.Equal([Backup], Directory.GetFiles(_bench.Folder, "b.*"));
    }

    [Fact]
    public async Task A_restore_that_is_killed_leaves_a_database_on_which_nothing_starts_and_the_next_undoes_it()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await _bench.DoneAsync("erase --email p0@example.com --yes");
        await RenameAsync();
        // Until it is rolled back nobody can tell whether that name is free.
        await using var blocker = await BlockAsync("CREATE VIEW season_plan AS SELECT 1 AS x");
        using var restore = Start("restore --from b.tar.gz --replace", _bench.Data);
        var copying = await WaitingAsync();
        Assert.DoesNotContain(
            LockedServer.Password,
            CommandLine(copying),
            StringComparison.Ordinal
        );
        restore.Kill();
        await restore.WaitForExitAsync(Cancel);
        await blocker.DisposeAsync();
        await UntilAsync(async () => await CopiersAsync() == 0);

        var e = await Assert.ThrowsAsync<StoreException>(() => _bench.OpenAsync());
        Assert.Contains("run 'turfwatch restore' again", e.Message, StringComparison.Ordinal);
        Assert.Contains(
            "2 in subscriber",
            await _bench.RefusedAsync("restore --from b.tar.gz"),
            StringComparison.Ordinal
        );
        await using (var back = await _bench.OpenAsync())
        {
            Assert.Null(await back.Subscribers.FindAsync("p0@example.com", Cancel));
            Assert.NotNull(await back.Subscribers.FindAsync("p1@example.com", Cancel));
        }

        await _bench.DoneAsync("restore --from b.tar.gz --replace");
        Assert.Equal(3, await RowsAsync("subscriber"));
    }

    [Fact]
    public async Task A_full_disk_or_one_that_takes_no_writes_leaves_no_half_backup()
    {
        Needs.That(
            Environment.IsPrivilegedProcess,
            "the test must mount a small file system: run it as root"
        );
        await _bench.FillAsync(people: 300);
        var small = Directory.CreateDirectory(_bench.PathOf("small")).FullName;
        Needs.That(
            Processes.Run("mount", "-t", "tmpfs", "-o", "size=16k", "tmpfs", small) == 0,
            "this machine (a container without CAP_SYS_ADMIN?) does not let root mount a file system"
        );
        try
        {
            Assert.Contains(
                "full",
                await _bench.RefusedAsync($"backup --to {small}/c.tar.gz", exit: 1),
                StringComparison.Ordinal
            );
            Assert.Empty(Directory.GetFileSystemEntries(small));
            Processes.Run("mount", "-o", "remount,ro", small);
            Assert.Contains(
                "Read-only file system",
                await _bench.RefusedAsync($"backup --to {small}/c.tar.gz", exit: 1),
                StringComparison.Ordinal
            );
        }
        finally
        {
            Processes.Run("umount", "-l", small);
        }
    }

    /// <summary>Makes room for something that is in the way of the copy's table of that name.</summary>
    private Task RenameAsync() => ExecuteAsync("ALTER TABLE season_plan RENAME TO season_plan_2");

    private Task<long> CopiersAsync() =>
        RowsAsync("pg_stat_activity WHERE application_name = 'turfwatch copy'");

    /// <summary>A session with an open transaction that is in the way.</summary>
    private async Task<IAsyncDisposable> BlockAsync(string sql)
    {
        var session = new Npgsql.NpgsqlConnection(
            $"{_bench.Postgres};Password={LockedServer.Password};Pooling=false"
        );
        await session.OpenAsync(Cancel);
        await using var command = new Npgsql.NpgsqlCommand($"BEGIN; {sql}", session);
        await command.ExecuteNonQueryAsync(Cancel);
        return session;
    }

    /// <summary>Waits until one of PostgreSQL's programs waits for the blocker; its process.</summary>
    private async Task<int> WaitingAsync()
    {
        await UntilAsync(async () =>
            await RowsAsync(
                "pg_stat_activity WHERE application_name = 'turfwatch copy' AND wait_event_type = 'Lock'"
            ) == 1
        );
        return Process
            .GetProcesses()
            .Select(p => p.Id)
            .Single(id =>
                Told(id, "cmdline").Contains("/pg_", StringComparison.Ordinal)
                && Told(id, "environ")
                    .Contains($"PGDATABASE={_database}\0", StringComparison.Ordinal)
                && Told(id, "environ")
                    .Contains($"PGPORT={_server.Port}\0", StringComparison.Ordinal)
            );
    }

    private static string CommandLine(int pid) => Told(pid, "cmdline");

    private static string Told(int pid, string what)
    {
        try
        {
            return File.ReadAllText($"/proc/{pid}/{what}");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // It has ended, or is none of our business.
            return "";
        }
    }

    private static async Task UntilAsync(Func<Task<bool>> holds)
    {
        var since = Stopwatch.GetTimestamp();
        while (!await holds())
        {
            Assert.True(Stopwatch.GetElapsedTime(since) < TimeSpan.FromMinutes(2), "never came");
            await Task.Delay(50, Cancel);
        }
    }

    private Process Start(string line, string folder) =>
        Process.Start(
            new ProcessStartInfo(
                "dotnet",
                [
                    Path.Combine(AppContext.BaseDirectory, "turfwatch.dll"),
                    .. line.Split(' '),
                    "--config",
                    _bench.Config(folder),
                ]
            )
            {
                WorkingDirectory = _bench.Folder,
                UseShellExecute = false,
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                Environment = { ["TurfWatch__Store__BusyTimeout"] = "00:02:00" },
            }
        )!;

    /// <summary>Writes the archive anew with another dump, and a manifest that agrees with it.</summary>
    private async Task RewriteAsync(Func<byte[], byte[]> change)
    {
        var entries = new List<(string Name, byte[] Bytes)>();
        await using (var file = File.OpenRead(Backup))
        await using (var gzip = new GZipStream(file, CompressionMode.Decompress))
        await using (var tar = new TarReader(gzip))
        {
            while (await tar.GetNextEntryAsync(true, Cancel) is { DataStream: { } data } entry)
            {
                using var copy = new MemoryStream();
                await data.CopyToAsync(copy, Cancel);
                entries.Add((entry.Name, copy.ToArray()));
            }
        }

        Assert.Equal(["manifest.json", "turfwatch.dump", "link-keys"], entries.Select(e => e.Name));
        var dump = change(entries[1].Bytes);
        var manifest = JsonNode.Parse(entries[0].Bytes)!;
        manifest["parts"]![0]!["bytes"] = dump.Length;
        manifest["parts"]![0]!["sha256"] = Convert.ToHexStringLower(SHA256.HashData(dump));
        entries[0] = ("manifest.json", Encoding.UTF8.GetBytes(manifest.ToJsonString()));
        entries[1] = ("turfwatch.dump", dump);
        await using var target = File.Create(Backup);
        await using var packed = new GZipStream(target, CompressionLevel.Fastest);
        await using var writer = new TarWriter(packed, TarEntryFormat.Pax);
        foreach (var (name, bytes) in entries)
        {
            await writer.WriteEntryAsync(
                new PaxTarEntry(TarEntryType.RegularFile, name)
                {
                    DataStream = new MemoryStream(bytes),
                },
                Cancel
            );
        }
    }
}
