using TurfWatch.Store.Postgres;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>Which of PostgreSQL's own programs is taken, and what is said when none fits.</summary>
public sealed class PostgresProgramsTests : IDisposable
{
    private readonly TempFolder _folder = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    // pg_dump reads servers of its own version and older ones (its manual page), and sets what its own version knows.
    [Theory]
    [InlineData(15, "15")]
    [InlineData(16, "17")]
    [InlineData(12, "14")]
    public async Task The_oldest_that_knows_the_server_is_taken(int server, string taken)
    {
        var programs = Make(("17", "17.2 (Debian 17.2-1)"), ("14", "14.9"), ("15", "15.8"));

        var path = await programs.FindAsync("pg_dump", server, Cancellation);

        Assert.Equal(taken, Path.GetFileName(Path.GetDirectoryName(path)));
    }

    [Fact]
    public async Task One_that_is_too_old_is_named_with_both_versions()
    {
        var e = await Assert.ThrowsAsync<StoreException>(() =>
            Make(("a", "13.4"), ("b", "14.1")).FindAsync("pg_dump", 15, Cancellation)
        );

        Assert.Contains(
            "b/pg_dump is of PostgreSQL 14, but the server is 15",
            e.Message,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "apt-get install postgresql-client-15",
            e.Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task That_there_is_none_is_told_with_what_to_install()
    {
        var e = await Assert.ThrowsAsync<StoreException>(() =>
            Make(("broken", null)).FindAsync("pg_dump", 15, Cancellation)
        );

        Assert.Contains(
            "pg_dump of PostgreSQL is not on this machine",
            e.Message,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "apt-get install postgresql-client-15",
            e.Message,
            StringComparison.Ordinal
        );
    }

    // The other lines repeat the row that failed.
    [Fact]
    public void Of_what_a_program_says_no_row_is_repeated()
    {
        var said = PostgresPrograms.Said([
            "pg_restore: while PROCESSING TOC:",
            "pg_restore: error: COPY failed for table \"subscriber\": ERROR:  duplicate key value violates unique constraint \"s\"",
            "DETAIL:  Key (email_key)=(you@example.org) already exists.",
            "CONTEXT:  COPY subscriber, line 3",
        ]);

        Assert.Equal(
            "pg_restore: error: COPY failed for table \"subscriber\": ERROR:  duplicate key value violates unique constraint \"s\".",
            said
        );
    }

    private PostgresPrograms Make(params IReadOnlyList<(string Folder, string? Version)> versions)
    {
        foreach (var (folder, version) in versions)
        {
            var path = Path.Combine(_folder.Path, folder, "pg_dump");
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.WriteAllText(
                path,
                version is null
                    ? "#!/bin/sh\nexit 1\n"
                    : $"#!/bin/sh\necho 'pg_dump (PostgreSQL) {version}'\n"
            );
            File.SetUnixFileMode(
                path,
                UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute
            );
        }

        return new([.. versions.Select(v => Path.Combine(_folder.Path, v.Folder))]);
    }
}
