using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>The files that a backup holds besides its manifest.</summary>
internal static class BackupParts
{
    public static readonly IReadOnlySet<string> Known = new HashSet<string>(StringComparer.Ordinal)
    {
        StoreCopies.SqliteName,
        StoreCopies.PostgresName,
        LinkTokens.FileName,
    };

    /// <summary>The key files of a service, by their names in the backup.</summary>
    /// <exception cref="Commands.MisuseException">The database is a server's, and this is not the folder of one of its workers.</exception>
    public static IReadOnlyDictionary<string, string> KeysOf(StoreOptions store)
    {
        var links = Path.Combine(store.DataDirectory, LinkTokens.FileName);
        if (store.UsesPostgres && !File.Exists(links))
        {
            throw new Commands.MisuseException(
                $"The key file {Path.GetFullPath(links)} is not there, and without it no link in mail already sent would work after a restore. Run this where a worker runs, with its Store:DataDirectory, and as a user who may read it."
            );
        }

        return File.Exists(links)
            ? new Dictionary<string, string>(StringComparer.Ordinal)
            {
                [LinkTokens.FileName] = links,
            }
            : new Dictionary<string, string>(StringComparer.Ordinal);
    }
}
