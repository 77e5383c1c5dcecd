using Dapper;
using Microsoft.Data.Sqlite;
using TurfWatch.Store.Sqlite;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Store.Tests.Sqlite;

/// <summary>
/// Settled rows stay in the outbox for good, so what is asked for every batch must never walk through them. SQLite's own
/// EXPLAIN QUERY PLAN (https://sqlite.org/eqp.html) says which index it takes.
/// </summary>
public sealed class SqliteOutboxPlanTests
{
    public static TheoryData<string> Statements =>
        [
            Outbox.ClaimSql(SqliteDatabase.Sqlite),
            Outbox.WrongSql(SqliteDatabase.Sqlite),
            $"SELECT MIN(not_before) FROM outbox WHERE {Outbox.Open} AND not_before <= @now",
        ];

    [Theory]
    [MemberData(nameof(Statements))]
    public async Task What_is_not_settled_is_found_by_its_index(string sql)
    {
        using var folder = new ScratchFolder();
        var options = new StoreOptions { DataDirectory = folder.Path };
        await using var database = SqliteDatabase.Open(
            options,
            TimeProvider.System,
            StoreAccess.Own
        );
        await using var connection = new SqliteConnection(
            $"Data Source={options.DatabasePath};Pooling=False"
        );
        await connection.OpenAsync(TestContext.Current.CancellationToken);

        var steps = connection
            .Query("EXPLAIN QUERY PLAN " + sql)
            .Select(row => (string)row.detail)
            .ToList();

        var reads = steps.Where(s => s.Contains(" outbox", StringComparison.Ordinal)).ToList();
        Assert.NotEmpty(reads);
        Assert.All(
            reads,
            step =>
                Assert.Matches(
                    @"^SEARCH outbox(_content)? USING (COVERING )?INDEX outbox_open \(state=\?|^SEARCH (outbox|c) USING INTEGER PRIMARY KEY|^SCAN outbox_hold",
                    step
                )
        );
    }
}
