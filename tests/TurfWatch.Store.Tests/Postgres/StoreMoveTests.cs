using System.Data.Common;
using System.Globalization;
using Dapper;
using Microsoft.Data.Sqlite;
using Npgsql;
using TurfWatch.Store.Postgres;

namespace TurfWatch.Store.Tests.Postgres;

/// <summary>All that a SQLite database holds arrives in PostgreSQL, whatever tables and columns there are.</summary>
public sealed class StoreMoveTests(PostgresCluster cluster)
{
    private const int RowsEach = 3;

    // The end of the year 9999, in milliseconds: more than 32 bits, and an instant wherever one is meant.
    private const long LatestInstant = 253402300799999;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    // Columns with few possible values; all others are made up from their type.
    private static readonly Dictionary<string, object> Allowed = new(StringComparer.Ordinal)
    {
        ["subscriber.status"] = "Active",
        ["outbox.kind"] = "Morning",
        ["outbox.state"] = "Sent",
        ["outbox_hold.one"] = 1L,
    };

    [Fact]
    public async Task Every_row_of_every_table_arrives_as_it_was()
    {
        using var folder = new TempFolder();
        await (await folder.OpenAsync(TimeProvider.System, Cancellation)).DisposeAsync();
        Fill(folder);
        await using var home = await cluster.NewHomeAsync(Cancellation);
        var before = Dump(folder);
        Assert.DoesNotContain(before, t => t.Value.Count == 0);
        // Leases end with the service that held them.
        before["lease"].Clear();

        var moved = await StoreMove.RunAsync(
            folder.Options,
            home.Options,
            TimeProvider.System,
            rehearse: false,
            Cancellation
        );

        var after = await DumpAsync(home);
        Assert.Equal(before.Keys.Order(), after.Keys.Order());
        foreach (var (table, rows) in before)
        {
            Assert.Equal(rows, after[table]);
        }

        Assert.Equal(before.Values.Sum(r => r.Count), moved.Rows);
        Assert.Equal(before.Count, moved.Tables);
        Assert.True(before.Count >= 20, $"only {before.Count} tables were compared");
        // All but the hold stays in the old database too.
        Assert.Equal(
            before.Where(t => t.Key != "outbox_hold").SelectMany(t => t.Value),
            Dump(folder).Where(t => t.Key != "outbox_hold").SelectMany(t => t.Value)
        );
    }

    // Outbox keys and links name subscribers and lawns by number: one that is gone must not come back as somebody else.
    [Fact]
    public async Task Numbers_that_were_given_are_not_given_again()
    {
        using var folder = new TempFolder();
        await using (var store = await folder.OpenAsync(TimeProvider.System, Cancellation))
        {
            for (var i = 0; i < 3; i++)
            {
                await store.Subscribers.AddAsync($"p{i}@example.org", Samples.Lawn(), Cancellation);
            }
        }

        using (var connection = Open(folder))
        {
            connection.Execute(
                "PRAGMA foreign_keys = ON; DELETE FROM subscriber WHERE email = 'p2@example.org'"
            );
        }

        await using var home = await cluster.NewHomeAsync(Cancellation);
        await StoreMove.RunAsync(
            folder.Options,
            home.Options,
            TimeProvider.System,
            rehearse: false,
            Cancellation
        );

        await using var there = await home.OpenAsync(TimeProvider.System, Cancellation);
        var next = (
            await there.Subscribers.AddAsync("p3@example.org", Samples.Lawn(), Cancellation)
        )!;
        Assert.Equal((4, 4), (next.Subscriber.Id, next.Lawns[0].Id));
    }

    private static void Fill(TempFolder folder)
    {
        using var connection = Open(folder);
        connection.Execute("PRAGMA foreign_keys = OFF");
        foreach (var table in Tables(connection))
        {
            var columns = connection
                .Query<(string Name, string Type, long NotNull, long Key)>(
                    "SELECT name, type, \"notnull\", pk FROM pragma_table_info(@table)",
                    new { table }
                )
                .ToList();
            var refers = connection
                .Query<string>(
                    "SELECT \"from\" FROM pragma_foreign_key_list(@table)",
                    new { table }
                )
                .ToHashSet();
            var rows = table == "outbox_hold" ? 1 : RowsEach;
            for (var row = 1; row <= rows; row++)
            {
                var values = columns.Select(c =>
                    row == 2 && c.NotNull == 0 && c.Key == 0
                        ? null
                        : Allowed.GetValueOrDefault($"{table}.{c.Name}")
                            ?? Made(c.Type, c.Name, row, c.Key > 0 || refers.Contains(c.Name))
                );
                var arguments = new DynamicParameters();
                foreach (var (value, i) in values.Select((v, i) => (v, i)))
                {
                    arguments.Add($"p{i}", value);
                }

                connection.Execute(
                    $"INSERT INTO \"{table}\" VALUES ({string.Join(", ", columns.Select((_, i) => $"@p{i}"))})",
                    arguments
                );
            }
        }

        // Whatever refers to a row refers to one that is there.
        Assert.Empty(connection.Query("PRAGMA foreign_key_check"));
    }

    // Keys are small, so that one table's are the other's too.
    private static object Made(string type, string name, int row, bool isKey) =>
        type switch
        {
            "INTEGER" => isKey ? row : LatestInstant - row,
            "TEXT" => isKey
                ? $"key {row}"
                : $"{name} {row}: “ä ß 草 🌱”\t\\N \\. 'quoted' \"twice\"\r\nnext line",
            "REAL" => row == 1 ? 0.1 + 0.2 : double.MaxValue / row,
            "BLOB" => (byte[])[0, 255, (byte)row, (byte)name.Length, 0, 92, 46],
            _ => throw new InvalidOperationException($"no value for {type}"),
        };

    private static SortedDictionary<string, List<string>> Dump(TempFolder folder)
    {
        using var connection = Open(folder);
        return Dump(connection, Tables(connection));
    }

    private static async Task<SortedDictionary<string, List<string>>> DumpAsync(PostgresHome home)
    {
        await using var connection = new NpgsqlConnection(
            home.Server.ConnectionString(home.Database) + ";Pooling=false"
        );
        await connection.OpenAsync(Cancellation);
        return Dump(connection, PostgresTables.Names(connection));
    }

    private static SortedDictionary<string, List<string>> Dump(
        DbConnection connection,
        IEnumerable<string> tables
    )
    {
        var all = new SortedDictionary<string, List<string>>(StringComparer.Ordinal);
        foreach (var table in tables)
        {
            using var reader = connection.ExecuteReader($"SELECT * FROM \"{table}\"");
            var rows = new List<string>();
            while (reader.Read())
            {
                rows.Add(
                    string.Join(
                        " | ",
                        Enumerable
                            .Range(0, reader.FieldCount)
                            .Select(i => $"{reader.GetName(i)}={Text(reader.GetValue(i))}")
                            .Order(StringComparer.Ordinal)
                    )
                );
            }

            rows.Sort(StringComparer.Ordinal);
            all.Add(table, rows);
        }

        return all;
    }

    private static string Text(object value) =>
        value switch
        {
            DBNull => "NULL",
            byte[] bytes => "x" + Convert.ToHexString(bytes),
            double number => "r" + number.ToString("R", CultureInfo.InvariantCulture),
            long number => "i" + number.ToString(CultureInfo.InvariantCulture),
            string text => "'" + text + "'",
            _ => throw new InvalidOperationException($"no text for {value.GetType()}"),
        };

    private static SqliteConnection Open(TempFolder folder)
    {
        var connection = new SqliteConnection(
            $"Data Source={Path.Combine(folder.Path, "turfwatch.db")};Pooling=false"
        );
        connection.Open();
        return connection;
    }

    private static List<string> Tables(SqliteConnection connection) =>
        connection
            .Query<string>(
                "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
            )
            .ToList();
}
