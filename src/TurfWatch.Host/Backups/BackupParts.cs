using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>The files that a backup holds besides its manifest.</summary>
internal static class BackupParts
{
    public static readonly IReadOnlySet<string> Known = new HashSet<string>(StringComparer.Ordinal)
    {
        BackupManifest.Database,
        LinkTokens.FileName,
    };

    /// <summary>The key files of a service, by their names in the backup.</summary>
    public static IReadOnlyDictionary<string, string> KeysOf(StoreOptions store)
    {
        var links = Path.Combine(store.DataDirectory, LinkTokens.FileName);
        return File.Exists(links)
            ? new Dictionary<string, string>(StringComparer.Ordinal)
            {
                [LinkTokens.FileName] = links,
            }
            : new Dictionary<string, string>(StringComparer.Ordinal);
    }
}
