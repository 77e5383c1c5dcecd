using NodaTime;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>What was put back.</summary>
/// <param name="Manifest">The backup.</param>
/// <param name="Holds">What the folder holds now.</param>
/// <param name="SetAside">The folder that has what was there before; null when nothing was.</param>
internal sealed record Restored(BackupManifest Manifest, StoreContents Holds, string? SetAside);

/// <summary>
/// Puts a backup into a data folder. The database comes last and brings its hold with it: until then there is no store, and
/// from then on there is one that sends nothing.
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
        var there = folder.Contents();
        if (there.Count > 0 && !replace)
        {
            throw new Commands.MisuseException(
                $"{target.DataDirectory} is not empty (it holds {string.Join(", ", there.Take(5))}{(there.Count > 5 ? ", …" : "")}). Restore into an empty folder with --into, or add --replace: what is there is then set aside within it, not deleted."
            );
        }

        var drafts = new List<string>();
        try
        {
            var manifest = await BackupFile.ReadAsync(file, Draft, cancel);
            var database = folder.Draft(BackupManifest.Database);
            var moment = manifest.Moment();
            var holds = folder.MakeReady(
                database,
                new(
                    now,
                    $"this is a copy, restored from a backup of {moment}; what was sent after that is not known here",
                    moment,
                    now
                )
            );
            cancel.ThrowIfCancellationRequested();

            var names = manifest.Parts.Select(p => p.Name).Where(n => n != BackupManifest.Database);
            string? aside = null;
            if (there.Count > 0)
            {
                aside = $"replaced-{now.ToUnixTimeSeconds()}";
                folder.SetAside(aside, [LinkTokens.FileName, .. names]);
            }

            FileOwner.AsFolder(target.DataDirectory, drafts);
            foreach (var name in names)
            {
                folder.Place(name);
            }

            folder.PlaceDatabase(database);
            return new(manifest, holds, aside);
        }
        finally
        {
            drafts.ForEach(File.Delete);
        }

        Stream Draft(BackupManifest manifest, BackupPart part)
        {
            RequireKnown(file, manifest, part);
            var path = folder.Draft(part.Name);
            drafts.Add(path);
            return new FileStream(
                path,
                new FileStreamOptions
                {
                    Mode = FileMode.CreateNew,
                    Access = FileAccess.Write,
                    UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
                }
            );
        }
    }

    private static void RequireKnown(string file, BackupManifest manifest, BackupPart part)
    {
        if (manifest.Holds.Schema > StoreCopies.NewestSchema)
        {
            throw new InvalidDataException(
                $"The backup {file} was made by a newer TurfWatch ({manifest.Program}, schema {manifest.Holds.Schema}; this is {BackupManifest.ThisProgram} and knows {StoreCopies.NewestSchema}). Nothing was changed. Use the newer program."
            );
        }

        // A name is a plain name of ours: an archive that somebody made leads nowhere else.
        if (!BackupParts.Known.Contains(part.Name))
        {
            throw BackupFile.Damaged(file, $"it holds '{part.Name}'");
        }
    }
}
