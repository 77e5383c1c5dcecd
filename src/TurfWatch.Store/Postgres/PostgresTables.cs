using System.Data.Common;
using Dapper;
using NpgsqlTypes;

namespace TurfWatch.Store.Postgres;

/// <summary>
/// The tables that hold what TurfWatch keeps, as the database lists them: without the scheduler's, which it makes anew by itself, and
/// without <c>turfwatch_schema</c>, which says that the others are ready.
/// </summary>
internal static class PostgresTables
{
    public const string Schema = "turfwatch_schema";

    private const string Kept =
        "c.relnamespace = to_regnamespace(quote_ident(current_schema())) AND c.relkind IN ('r', 'p') AND c.relname NOT LIKE 'qrtz\\_%'";

    // What a worker writes down of itself at its start; no household is in it.
    private static readonly string[] OfWorkers = ["lease", "link_key"];

    /// <summary>A table's column and its type.</summary>
    public sealed record Column(string Name, NpgsqlDbType Type, bool Counts);

    public static string Quoted(string name) =>
        $"\"{name.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";

    /// <summary>Names of the tables, each after those that it refers to.</summary>
    public static IReadOnlyList<string> Names(DbConnection c, DbTransaction? t = null)
    {
        var left = c.Query<string>(
                $"SELECT c.relname FROM pg_class AS c WHERE {Kept} AND c.relname <> '{Schema}' ORDER BY c.relname",
                transaction: t
            )
            .ToList();
        var refers = c.Query<(string From, string To)>(
                $"""
                SELECT c.relname, r.relname FROM pg_constraint AS k
                JOIN pg_class AS c ON c.oid = k.conrelid JOIN pg_class AS r ON r.oid = k.confrelid
                WHERE k.contype = 'f' AND k.conrelid <> k.confrelid AND {Kept}
                """,
                transaction: t
            )
            .ToLookup(k => k.From, k => k.To, StringComparer.Ordinal);
        var ordered = new List<string>(left.Count);
        while (left.Count > 0)
        {
            var ready = left.Where(n => !refers[n].Any(left.Contains)).ToList();
            if (ready.Count == 0)
            {
                throw new InvalidOperationException(
                    $"the tables {string.Join(", ", left)} refer to one another in a circle"
                );
            }

            ordered.AddRange(ready);
            left.RemoveAll(ready.Contains);
        }

        return ordered;
    }

    /// <summary>The tables that have rows, with their numbers; those of which a worker's start alone is the reason are left out.</summary>
    public static IReadOnlyList<(string Name, long Rows)> WithRows(
        DbConnection c,
        DbTransaction? t = null
    ) =>
        [
            .. Names(c, t)
                .Except(OfWorkers, StringComparer.Ordinal)
                .Select(n => (n, Rows(c, n, t)))
                .Where(n => n.Item2 > 0)
                .OrderByDescending(n => n.Item2),
        ];

    public static long Rows(DbConnection c, string table, DbTransaction? t = null) =>
        c.ExecuteScalar<long>($"SELECT COUNT(*) FROM {Quoted(table)}", transaction: t);

    /// <summary>The columns of a table in its order; <see cref="Column.Counts"/>: the database draws its numbers.</summary>
    public static IReadOnlyList<Column> Columns(DbConnection c, string table, DbTransaction? t) =>
        [
            .. c.Query<(string Name, string Type, bool Counts)>(
                    """
                    SELECT column_name, data_type, is_identity = 'YES' FROM information_schema.columns
                    WHERE table_schema = current_schema() AND table_name = @table ORDER BY ordinal_position
                    """,
                    new { table },
                    t
                )
                .Select(column => new Column(
                    column.Name,
                    column.Type switch
                    {
                        "bigint" => NpgsqlDbType.Bigint,
                        "text" => NpgsqlDbType.Text,
                        "double precision" => NpgsqlDbType.Double,
                        "bytea" => NpgsqlDbType.Bytea,
                        _ => throw new InvalidOperationException(
                            $"column {table}.{column.Name} is of type {column.Type}, which the store does not use"
                        ),
                    },
                    column.Counts
                )),
        ];

    /// <summary>There is a table of versions without a row: a restore was begun and has not ended.</summary>
    public static bool IsHalfRestored(DbConnection c, DbTransaction? t = null) =>
        c.ExecuteScalar<bool>(
            $"SELECT to_regclass(quote_ident(current_schema()) || '.{Schema}') IS NOT NULL",
            transaction: t
        )
        && c.ExecuteScalar<long>($"SELECT COUNT(*) FROM {Schema}", transaction: t) == 0;
}
