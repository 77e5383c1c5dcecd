using System.Globalization;
using NodaTime;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>What was put back.</summary>
/// <param name="Manifest">The backup.</param>
/// <param name="Holds">What the store holds now.</param>
/// <param name="SetAside">Where that is which was there before; null when nothing was.</param>
internal sealed record Restored(BackupManifest Manifest, StoreContents Holds, string? SetAside);

/// <summary>
/// Puts a backup into a data folder, or into a PostgreSQL database. The step that makes it a store brings its hold with it: until then
/// no service starts on it, and from then on there is one that sends nothing.
/// </summary>
internal static class Restore
{
    public static async Task<Restored> RunAsync(
        string file,
        StoreOptions target,
        bool replace,
        Instant now,
        CancellationToken cancel
    )
    {
        using var folder = StoreFolder.Take(target);
        return target.UsesPostgres
            ? await IntoPostgresAsync(file, folder, target, replace, now, cancel)
            : await IntoFolderAsync(file, folder, target, replace, now, cancel);
    }

    private static async Task<Restored> IntoFolderAsync(
        string file,
        StoreFolder folder,
        StoreOptions target,
        bool replace,
        Instant now,
        CancellationToken cancel
    )
    {
        var there = folder.Contents();
        if (there.Count > 0 && !replace)
        {
            throw new Commands.MisuseException(
                $"{target.DataDirectory} is not empty (it holds {Some(there)}). Restore into an empty folder with --into, or add --replace: what is there is then set aside within it, not deleted."
            );
        }

        using var drafts = new RestoreDrafts(folder, target);
        var manifest = await drafts.ReadAsync(file, cancel);
        var holds = folder.MakeReady(drafts.Database, Hold(manifest, now));
        cancel.ThrowIfCancellationRequested();

        var names = Keys(manifest);
        string? aside = null;
        if (there.Count > 0)
        {
            aside = FolderAside(now);
            folder.SetAside(aside, [LinkTokens.FileName, .. names, .. folder.DatabaseNames]);
        }

        FileOwner.AsFolder(target.DataDirectory, [folder.LockPath, .. drafts.Paths]);
        foreach (var name in names)
        {
            folder.Place(name);
        }

        folder.PlaceDatabase(drafts.Database);
        return new(manifest, holds, aside is null ? null : $"the folder {aside} within it");
    }

    private static async Task<Restored> IntoPostgresAsync(
        string file,
        StoreFolder folder,
        StoreOptions target,
        bool replace,
        Instant now,
        CancellationToken cancel
    )
    {
        await using var database = await StoreDatabase.TakeAsync(target, cancel);
        if (database.Contents.Count > 0 && !replace)
        {
            throw new Commands.MisuseException(
                $"{database.Where} is not empty (it holds {Some(database.Contents)}). Restore into an empty database (createdb), or add --replace: what is there is then moved into a schema of its own, not deleted."
            );
        }

        using var drafts = new RestoreDrafts(folder, target);
        var manifest = await drafts.ReadAsync(file, cancel);
        var missing = Keys(manifest).Where(n => !folder.Has(n, folder.Draft(n))).ToList();
        var other = missing.Where(folder.Contents().Contains).ToList();
        if (other.Count > 0 && !replace)
        {
            throw new Commands.MisuseException(
                $"{target.DataDirectory} holds another {other[0]} than the backup, with which links in mail already sent would not work. Name an empty folder with --into, or add --replace: it is then set aside within the folder, not deleted."
            );
        }

        var schema = $"replaced_{now.ToUnixTimeSeconds()}";
        await database.FillAsync(drafts.Database, schema, cancel);
        cancel.ThrowIfCancellationRequested();
        var holds = database.Open(manifest.Holds, Hold(manifest, now));

        if (other.Count > 0)
        {
            folder.SetAside(FolderAside(now), other);
        }

        FileOwner.AsFolder(
            target.DataDirectory,
            [folder.LockPath, .. missing.Select(folder.Draft)]
        );
        foreach (var name in missing)
        {
            folder.Place(name);
        }

        List<string> asides =
        [
            .. database.Contents.Count > 0
                ? [$"the schema {schema} of the database"]
                : (string[])[],
            .. other.Count > 0
                ? [$"the folder {FolderAside(now)} of {target.DataDirectory}"]
                : (string[])[],
        ];
        return new(manifest, holds, asides.Count == 0 ? null : string.Join(" and in ", asides));
    }

    private static OutboxHold Hold(BackupManifest manifest, Instant now) =>
        new(
            now,
            $"this is a copy, restored from a backup of {manifest.Moment()}; what was sent after that is not known here",
            manifest.Moment(),
            now
        );

    private static List<string> Keys(BackupManifest manifest) =>
        [
            .. manifest
                .Parts.Select(p => p.Name)
                .Where(n => n is not (StoreCopies.SqliteName or StoreCopies.PostgresName)),
        ];

    private static string FolderAside(Instant now) =>
        string.Create(CultureInfo.InvariantCulture, $"replaced-{now.ToUnixTimeSeconds()}");

    private static string Some(IReadOnlyList<string> there) =>
        string.Join(", ", there.Take(5)) + (there.Count > 5 ? ", …" : "");
}
