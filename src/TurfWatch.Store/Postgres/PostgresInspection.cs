using System.Data.Common;
using Dapper;
using NodaTime;

namespace TurfWatch.Store.Postgres;

/// <summary>Looks at a PostgreSQL database for <c>turfwatch check</c>.</summary>
internal static class PostgresInspection
{
    public static PostgresReport Make(
        DbConnection c,
        StoreOptions options,
        string where,
        TimeProvider time
    )
    {
        c.Execute("SELECT 1"); // Whatever is slow at the first question must not count as the clock's fault.
        var before = time.GetUtcNow();
        var theirs = Instant.FromUnixTimeMilliseconds(
            c.ExecuteScalar<long>(
                "SELECT CAST(EXTRACT(EPOCH FROM clock_timestamp()) * 1000 AS bigint)"
            )
        );
        var after = time.GetUtcNow();
        var ours = Instant.FromDateTimeOffset(before + ((after - before) / 2));
        var loose = c.Query<string>(
            """
            SELECT name || ' = ' || setting FROM pg_settings
            WHERE name IN ('fsync', 'synchronous_commit', 'full_page_writes') AND setting = 'off' ORDER BY name
            """
        );
        return new(
            where,
            PostgresMigrations.VersionOf(c),
            c.ExecuteScalar<long>("SELECT pg_database_size(current_database())"),
            c.ExecuteScalar<string>("SELECT current_setting('server_version')")!,
            theirs - ours,
            (int)
                c.ExecuteScalar<long>(
                    "SELECT COUNT(*) FROM pg_stat_activity WHERE backend_type = 'client backend'"
                ),
            (int)c.ExecuteScalar<long>("SELECT current_setting('max_connections')::bigint"),
            string.Join(", ", loose),
            c.ExecuteScalar<bool>("SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()"),
            PostgresConnection.Verifies(options)
        );
    }
}
