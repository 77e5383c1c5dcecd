using System.Globalization;
using Npgsql;

namespace TurfWatch.Store.Postgres;

/// <summary>How TurfWatch connects to PostgreSQL.</summary>
internal static class PostgresConnection
{
    private const int CommandSeconds = 30;

    private const int ScheduleConnections = 6;

    /// <summary>The machine's own list of authorities, as distributions keep it.</summary>
    private static readonly string[] AuthoritiesFiles =
    [
        "/etc/ssl/certs/ca-certificates.crt",
        "/etc/pki/tls/certs/ca-bundle.crt",
        "/etc/ssl/cert.pem",
    ];

    /// <summary>
    /// Shorter than a command may take: the others wait for the scheduler's one lock, and must get it from a worker that was
    /// cut off before they give up.
    /// </summary>
    private const int ScheduleIdleSeconds = 10;

    /// <summary>Connections of the store.</summary>
    public static NpgsqlDataSource Source(StoreOptions options)
    {
        var given = Common(options, "turfwatch");
        // ShouldSerialize says what is written in the settings; ContainsKey is true of every word that Npgsql knows.
        if (!given.ShouldSerialize("Maximum Pool Size"))
        {
            given.MaxPoolSize = 20;
        }

        return Build(OfWork(given, options, more: ""), options);
    }

    /// <summary>
    /// One connection for the begins and ends of messages. The server plans what is prepared there once, perhaps while the
    /// tables are still small, and keeps the plan: so it is told to look rows up by their keys.
    /// </summary>
    public static NpgsqlDataSource OfSteps(StoreOptions options)
    {
        var given = Common(options, "turfwatch");
        given.MaxPoolSize = 1;
        return Build(
            OfWork(
                given,
                options,
                "-c plan_cache_mode=force_generic_plan -c enable_seqscan=off -c enable_hashjoin=off -c enable_mergejoin=off"
            ),
            options
        );
    }

    /// <summary>Connections of the scheduler: its own, so that neither waits for the other, and it may wait for its locks as it likes.</summary>
    public static NpgsqlDataSource OfSchedule(StoreOptions options)
    {
        var given = Common(options, "turfwatch schedule");
        given.MaxPoolSize = ScheduleConnections;
        given.Options = string.Create(
            CultureInfo.InvariantCulture,
            $"{given.Options} -c idle_in_transaction_session_timeout={ScheduleIdleSeconds * 1000} -c client_min_messages=warning"
        );
        return Build(given, options);
    }

    /// <summary>One connection of an operator's command, in which nothing is cut off for taking long.</summary>
    public static NpgsqlDataSource OfOperator(StoreOptions options)
    {
        var given = Common(options, "turfwatch operator");
        given.MaxPoolSize = 1;
        given.CommandTimeout = 0;
        given.TcpKeepAlive = true;
        given.Options = string.Create(
            CultureInfo.InvariantCulture,
            $"{given.Options} -c lock_timeout={(int)options.BusyTimeout.TotalMilliseconds} -c idle_in_transaction_session_timeout=0 -c statement_timeout=0 -c client_min_messages=warning"
        );
        return Build(given, options);
    }

    /// <summary>Whether the server must show a certificate that is trusted.</summary>
    public static bool Verifies(StoreOptions options) =>
        new NpgsqlConnectionStringBuilder(options.Postgres).SslMode
            is SslMode.VerifyCA
                or SslMode.VerifyFull;

    /// <summary>What tells PostgreSQL's own programs of the server that a connection is open to, and of the password.</summary>
    public static IReadOnlyDictionary<string, string> Environment(
        StoreOptions options,
        NpgsqlConnection open
    )
    {
        var given = new NpgsqlConnectionStringBuilder(options.Postgres);
        var told = new Dictionary<string, string?>(StringComparer.Ordinal)
        {
            ["PGHOST"] = open.Host,
            ["PGPORT"] = open.Port.ToString(CultureInfo.InvariantCulture),
            ["PGDATABASE"] = open.Database,
            ["PGUSER"] = given.Username,
            ["PGPASSWORD"] =
                options.PostgresPasswordFile.Length > 0
                    ? Password(options.PostgresPasswordFile)
                    : null,
            ["PGPASSFILE"] = given.Passfile,
            ["PGAPPNAME"] = "turfwatch copy",
            ["PGCONNECT_TIMEOUT"] = "10",
            ["PGOPTIONS"] = given.Options,
            ["PGSSLMODE"] = given.SslMode switch
            {
                SslMode.VerifyCA => "verify-ca",
                SslMode.VerifyFull => "verify-full",
                var mode => mode.ToString().ToLowerInvariant(),
            },
            // Npgsql asks the machine's own list of authorities where none is named; these programs must be told of it.
            ["PGSSLROOTCERT"] =
                given.RootCertificate
                ?? (Verifies(options) ? Array.Find(AuthoritiesFiles, File.Exists) : null),
            ["PGSSLCERT"] = given.SslCertificate,
            ["PGSSLKEY"] = given.SslKey,
        };
        return told.Where(v => !string.IsNullOrEmpty(v.Value))
            .ToDictionary(v => v.Key, v => v.Value!, StringComparer.Ordinal);
    }

    private static NpgsqlConnectionStringBuilder Common(StoreOptions options, string name)
    {
        var given = new NpgsqlConnectionStringBuilder(options.Postgres);
        given.ApplicationName ??= name;
        given.Timeout = Math.Min(given.Timeout, 10);
        given.CommandTimeout = given.CommandTimeout is 0 or > CommandSeconds
            ? CommandSeconds
            : given.CommandTimeout;
        // What the server tells of a failed row stays in the server's log: there are addresses in it.
        given.IncludeErrorDetail = false;
        return given;
    }

    private static NpgsqlConnectionStringBuilder OfWork(
        NpgsqlConnectionStringBuilder given,
        StoreOptions options,
        string more
    )
    {
        if (!given.ShouldSerialize("Max Auto Prepare"))
        {
            given.MaxAutoPrepare = 100;
        }

        if (!given.ShouldSerialize("No Reset On Close"))
        {
            // Nothing is ever set on a connection beyond the transaction.
            given.NoResetOnClose = true;
        }

        // A worker that sleeps in a transaction must not hold its locks for ever.
        given.Options = string.Create(
            CultureInfo.InvariantCulture,
            $"{given.Options} -c lock_timeout={(int)options.BusyTimeout.TotalMilliseconds} -c idle_in_transaction_session_timeout={CommandSeconds * 1000} -c client_min_messages=warning {more}"
        );
        return given;
    }

    private static NpgsqlDataSource Build(NpgsqlConnectionStringBuilder given, StoreOptions options)
    {
        var builder = new NpgsqlDataSourceBuilder(given.ConnectionString);
        if (options.PostgresPasswordFile.Length > 0)
        {
            builder.UsePasswordProvider(
                _ => Password(options.PostgresPasswordFile),
                (_, _) => new(Password(options.PostgresPasswordFile))
            );
        }

        return builder.Build();
    }

    /// <summary>Host, port and database, for messages.</summary>
    public static string Where(NpgsqlDataSource source)
    {
        var parts = new NpgsqlConnectionStringBuilder(source.ConnectionString);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{parts.Host}:{parts.Port}, database {parts.Database}"
        );
    }

    // Read for each new connection, so that a password that was changed is met.
    private static string Password(string file)
    {
        try
        {
            return File.ReadLines(file).FirstOrDefault("");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"Store:PostgresPasswordFile names '{file}', which cannot be read ({e.Message.TrimEnd('.')}). Give the account that runs TurfWatch the right to read it.",
                e
            );
        }
    }
}
