using NodaTime;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>turfwatch check</c> says of the database.</summary>
internal static class CheckedStore
{
    // Leases are told by the database's clock, windows by the program's: a small difference does no harm.
    private static readonly Duration ClockOff = Duration.FromSeconds(30);

    public static IEnumerable<CheckFinding> Look(StoreReport report, StoreOptions options) =>
        report switch
        {
            SqliteReport file => Look(file, options),
            PostgresReport server => Look(server),
            _ => throw new InvalidOperationException($"no words for {report.GetType().Name}"),
        };

    private static IEnumerable<CheckFinding> Look(SqliteReport report, StoreOptions options)
    {
        var sound = string.Equals(report.Integrity, "ok", StringComparison.Ordinal);
        yield return new(
            CheckId.Data,
            sound ? CheckState.Well : CheckState.Wrong,
            sound
                ? $"{report.Where} is sound ({MiB(report.Bytes)}, schema {report.SchemaVersion})"
                : $"{report.Where} is damaged ({report.Integrity}); stop the service and restore the last backup"
        );
        var freeMiB = report.FreeBytes / 1048576.0;
        yield return new(
            CheckId.Disk,
            freeMiB < options.MinFreeDiskMiB ? CheckState.Wrong
                : freeMiB < 10 * options.MinFreeDiskMiB ? CheckState.Mind
                : CheckState.Well,
            freeMiB < options.MinFreeDiskMiB
                ? $"{freeMiB:#,##0} MiB free, less than Store:MinFreeDiskMiB ({options.MinFreeDiskMiB}): nothing is sent; make room"
                : $"{freeMiB:#,##0} MiB free"
        );
    }

    private static IEnumerable<CheckFinding> Look(PostgresReport report)
    {
        yield return new(
            CheckId.Data,
            CheckState.Well,
            $"PostgreSQL {report.Version} on {report.Where} lets us in ({MiB(report.Bytes)}, schema {report.SchemaVersion}, {Way(report)})"
        );
        if (report.NotDurable.Length > 0)
        {
            yield return new(
                CheckId.Data,
                CheckState.Wrong,
                $"the server runs with {report.NotDurable}: what it committed may be lost when it crashes, and a message sent twice; turn that on"
            );
        }

        var off = report.ClockAhead;
        yield return new(
            CheckId.DatabaseClock,
            Duration.Max(off, -off) < ClockOff ? CheckState.Well : CheckState.Wrong,
            Duration.Max(off, -off) < ClockOff
                ? "agrees with ours"
                : $"is {Duration.Max(off, -off).TotalSeconds:0} s {(off > Duration.Zero ? "ahead of" : "behind")} ours; set both machines' clocks (timedatectl set-ntp true)"
        );
        var left = report.MaxConnections - report.Connections;
        yield return new(
            CheckId.Connections,
            left < report.MaxConnections / 5 ? CheckState.Mind : CheckState.Well,
            $"{report.Connections} of {report.MaxConnections} are open"
                + (left < report.MaxConnections / 5 ? "; raise the server's max_connections" : "")
        );
    }

    private static string Way(PostgresReport report) =>
        report switch
        {
            { Verified: true } => "over TLS with its certificate checked",
            { Encrypted: true } => "over TLS, its certificate unchecked",
            _ => "without TLS",
        };

    private static string MiB(long bytes) => $"{bytes / 1048576.0:0.0} MiB";
}
