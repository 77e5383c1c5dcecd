using Microsoft.Data.Sqlite;

namespace TurfWatch.Store.Sqlite;

/// <summary>Statements of one connection that are run over and over: SQLite compiles each once. Not for several threads at a time.</summary>
internal sealed class SqliteStatements
{
    private readonly Dictionary<string, SqliteCommand> _prepared = new(StringComparer.Ordinal);
    private SqliteConnection? _connection;

    /// <summary>Runs a statement; its arguments come under the same names in the same order each time. Returns how many rows it changed.</summary>
    public int Run(
        SqliteTransaction transaction,
        string sql,
        params ReadOnlySpan<(string Name, object? Value)> arguments
    )
    {
        if (_connection != transaction.Connection)
        {
            // A new writer: what was compiled for the old one went with it.
            _prepared.Clear();
            _connection = transaction.Connection;
        }

        if (!_prepared.TryGetValue(sql, out var command))
        {
            command = _connection!.CreateCommand();
            command.CommandText = sql;
            foreach (var (name, _) in arguments)
            {
                command.Parameters.Add(new SqliteParameter { ParameterName = name });
            }

            _prepared.Add(sql, command);
        }

        command.Transaction = transaction;
        for (var i = 0; i < arguments.Length; i++)
        {
            command.Parameters[i].Value = arguments[i].Value ?? DBNull.Value;
        }

        return command.ExecuteNonQuery();
    }
}
