using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography;
using Npgsql;

namespace TurfWatch.Store.Postgres;

/// <summary>Turns PostgreSQL's error codes (its manual, appendix A) and broken connections into sentences for the operator.</summary>
internal static class PostgresFaults
{
    // idle_in_transaction_session_timeout, which Npgsql has no name for.
    private const string SleptInTransaction = "25P03";

    /// <summary>
    /// The work was rolled back, or did not begin, for a reason that passes: it may be run again. Never true of a commit
    /// whose answer was lost.
    /// </summary>
    public static bool Passes(Exception e) =>
        e switch
        {
            PostgresException p => p.SqlState
                is PostgresErrorCodes.SerializationFailure
                    or PostgresErrorCodes.DeadlockDetected
                    or PostgresErrorCodes.TooManyConnections
                    or PostgresErrorCodes.AdminShutdown
                    or PostgresErrorCodes.CrashShutdown
                    or PostgresErrorCodes.CannotConnectNow
                    or SleptInTransaction,
            NpgsqlException n => !RefusesTls(n)
                && n.InnerException
                    is null
                        or IOException
                        or SocketException
                        or TimeoutException
                        or ObjectDisposedException,
            // The server hung up while Npgsql was still talking.
            IOException or SocketException => true,
            _ => false,
        };

    /// <summary>A commit was sent, and nobody knows whether it was done: the connection broke, or the server stopped.</summary>
    public static bool LeavesCommitUnknown(Exception e) =>
        e switch
        {
            PostgresException p => p.SqlState.StartsWith("57P", StringComparison.Ordinal)
                || p.SqlState.StartsWith("08", StringComparison.Ordinal),
            NpgsqlException or IOException or SocketException or TimeoutException => true,
            _ => false,
        };

    /// <summary>What is told of such a commit.</summary>
    public static StoreException Unsure(string server, Exception? e) =>
        new(
            StoreFault.Unsure,
            $"The connection to {server} broke while a change was being saved: it was saved or not, nobody can tell. "
                + "What is done again because of it does no harm; TurfWatch goes on by itself.",
            e
        );

    /// <summary>The fault of the surroundings that <paramref name="e"/> tells of, or null when it is our own mistake.</summary>
    public static StoreException? Describe(Exception e, StoreOptions options, string server)
    {
        return e switch
        {
            PostgresException p => OfCode(p, options, server),
            NpgsqlException { InnerException: StoreException told } => told,
            NpgsqlException { InnerException: AuthenticationException } => Distrusted(
                e,
                options,
                server
            ),
            NpgsqlException n when RefusesTls(n) => new(
                StoreFault.CannotOpen,
                $"{server} speaks no TLS, which SSL Mode in Store:Postgres asks for. Set ssl = on with a certificate on the server; on one and the same machine leave SSL Mode out.",
                e
            ),
            NpgsqlException
            {
                InnerException: UnauthorizedAccessException or CryptographicException
            } => new(
                StoreFault.CannotOpen,
                $"A certificate or key that Store:Postgres names for {server} cannot be read ({Detail(e)}). Give the account that runs TurfWatch the right to read it, and check that it is in PEM.",
                e
            ),
            NpgsqlException { InnerException: TimeoutException } => new(
                StoreFault.Away,
                $"{server} did not answer in time. Check the server, the network to it, and whether it is overloaded; TurfWatch tries again by itself.",
                e
            ),
            NpgsqlException or IOException or SocketException => new(
                StoreFault.Away,
                $"{server} cannot be reached ({Detail(e)}). Check that it runs and that Store:Postgres names it rightly; TurfWatch tries again by itself.",
                e
            ),
            _ => null,
        };
    }

    /// <summary>Npgsql does not say which of the three it is; openssl does.</summary>
    private static StoreException Distrusted(Exception e, StoreOptions options, string server)
    {
        var given = new NpgsqlConnectionStringBuilder(options.Postgres);
        var authority = string.IsNullOrEmpty(given.RootCertificate)
            ? "an authority that this machine trusts (Root Certificate in Store:Postgres names one of your own)"
            : $"the authority in {given.RootCertificate} (Root Certificate in Store:Postgres)";
        return new(
            StoreFault.CannotOpen,
            $"{server} is not trusted ({Detail(e)}): its certificate is not from {authority}, or not for the name {given.Host} (Host), or it is over. "
                + $"See which it is by: openssl s_client -starttls postgres -verify_hostname {given.Host} -CAfile {given.RootCertificate ?? "FILE"} -connect {given.Host}:{given.Port}",
            e
        );
    }

    private static StoreException? OfCode(PostgresException e, StoreOptions options, string server)
    {
        (StoreFault Fault, string Text)? told = e.SqlState switch
        {
            PostgresErrorCodes.LockNotAvailable => (
                StoreFault.Busy,
                $"held rows for more than {options.BusyTimeout.TotalSeconds:0} s that TurfWatch needs: another program has locked them. Close it, or raise Store:BusyTimeout."
            ),
            PostgresErrorCodes.SerializationFailure or PostgresErrorCodes.DeadlockDetected => (
                StoreFault.Busy,
                "rolled a change back again and again, since others changed the same rows. TurfWatch tries again by itself."
            ),
            PostgresErrorCodes.QueryCanceled => (
                StoreFault.Busy,
                "took too long over one command, which was cut off. Check whether it is overloaded; TurfWatch tries again by itself."
            ),
            PostgresErrorCodes.TooManyConnections => (
                StoreFault.Busy,
                "has no connection left. Raise its max_connections, or write a smaller Maximum Pool Size (20 for each worker) into Store:Postgres."
            ),
            PostgresErrorCodes.DiskFull => (
                StoreFault.DiskFull,
                "has a full disk. Nothing was written and no mail is sent until there is room; make room, TurfWatch goes on by itself."
            ),
            PostgresErrorCodes.ReadOnlySqlTransaction => (
                StoreFault.ReadOnly,
                "takes no writes: it is a standby, or set to read only. Point Store:Postgres at the primary."
            ),
            PostgresErrorCodes.IoError => (
                StoreFault.Disk,
                $"has a failing disk ({e.MessageText}). Check it, then restore a backup if need be."
            ),
            PostgresErrorCodes.DataCorrupted or PostgresErrorCodes.IndexCorrupted => (
                StoreFault.Corrupt,
                $"says that its data are damaged ({e.MessageText}). Stop TurfWatch and restore a backup."
            ),
            PostgresErrorCodes.InvalidPassword
            or PostgresErrorCodes.InvalidAuthorizationSpecification => (
                StoreFault.CannotOpen,
                $"refuses the login ({e.MessageText}). Check Username and SSL Mode in Store:Postgres, Store:PostgresPasswordFile, and the server's pg_hba.conf."
            ),
            PostgresErrorCodes.InvalidCatalogName => (
                StoreFault.CannotOpen,
                $"has no such database ({e.MessageText}). Make it: createdb -O USER DATABASE."
            ),
            PostgresErrorCodes.InsufficientPrivilege => (
                StoreFault.CannotOpen,
                $"does not let this user work ({e.MessageText}). Make the user of Store:Postgres the owner of the database."
            ),
            PostgresErrorCodes.AdminShutdown
            or PostgresErrorCodes.CrashShutdown
            or PostgresErrorCodes.CannotConnectNow
            or SleptInTransaction => (
                StoreFault.Away,
                $"is stopping or starting ({e.MessageText}). TurfWatch goes on by itself when it is back."
            ),
            _ => null,
        };
        return told is { } t ? new(t.Fault, $"{server} {t.Text}", e) : null;
    }

    // Npgsql has no code for it; PostgresTlsTests sees to it that these are its words.
    private static bool RefusesTls(NpgsqlException e) =>
        e.InnerException is null
        && e.Message.StartsWith("SSL connection requested", StringComparison.Ordinal);

    private static string Detail(Exception e) =>
        (e.InnerException ?? e).Message.ReplaceLineEndings(" ").TrimEnd('.');
}
