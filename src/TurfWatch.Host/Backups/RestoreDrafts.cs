using TurfWatch.Store;

namespace TurfWatch.Host.Backups;

/// <summary>The parts of a backup, read and found sound, beside the place that they are for; gone again when this is disposed.</summary>
internal sealed class RestoreDrafts(StoreFolder folder, StoreOptions target) : IDisposable
{
    private readonly List<string> _paths = [];

    /// <summary>The paths of the drafts.</summary>
    public IReadOnlyList<string> Paths => _paths;

    /// <summary>The copy of the database.</summary>
    public string Database => folder.Draft(StoreCopies.NameOf(target));

    /// <exception cref="InvalidDataException">The backup is damaged, none of ours, of a newer program, or of the other kind of database.</exception>
    public async Task<BackupManifest> ReadAsync(string file, CancellationToken cancel)
    {
        var manifest = await BackupFile.ReadAsync(file, Draft, cancel);
        return manifest.Parts.Any(p => p.Name == StoreCopies.NameOf(target))
            ? manifest
            : throw BackupFile.Damaged(file, "there is no database in it");

        Stream Draft(BackupManifest manifest, BackupPart part)
        {
            Require(file, manifest, part);
            var path = folder.Draft(part.Name);
            _paths.Add(path);
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

    public void Dispose() => _paths.ForEach(File.Delete);

    private void Require(string file, BackupManifest manifest, BackupPart part)
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

        if (target.UsesPostgres && part.Name == StoreCopies.SqliteName)
        {
            throw new InvalidDataException(
                $"The backup {file} was made from a data folder (SQLite), but Store:Postgres is set. Nothing was changed. Restore it with a configuration without Store:Postgres into a folder; 'turfwatch move' then carries that over to PostgreSQL."
            );
        }

        if (!target.UsesPostgres && part.Name == StoreCopies.PostgresName)
        {
            throw new InvalidDataException(
                $"The backup {file} was made from PostgreSQL, but Store:Postgres is empty. Nothing was changed. Name an empty database in Store:Postgres, then run this again."
            );
        }

        if (
            part.Name == StoreCopies.PostgresName
            && manifest.Holds.Schema < StoreDatabase.OldestSchema
        )
        {
            throw BackupFile.Damaged(
                file,
                $"it says schema {manifest.Holds.Schema}, of which there are no backups of PostgreSQL"
            );
        }
    }
}
