using System.Globalization;

namespace TurfWatch.Store;

/// <summary>
/// The numbered SQL files of one kind of database, in the assembly (<c>0001-initial.sql</c>). Both kinds share the numbers: the same
/// number has the same tables and columns. PostgreSQL begins with 6, which holds what SQLite came to in 1 to 6.
/// </summary>
internal sealed class MigrationFiles
{
    private readonly (int Version, string Name)[] _files;

    public MigrationFiles(string kind) =>
        _files = [
            .. typeof(MigrationFiles)
                .Assembly.GetManifestResourceNames()
                .Where(n => n.StartsWith(kind + "/", StringComparison.Ordinal))
                .Select(n =>
                    (int.Parse(n.AsSpan(kind.Length + 1, 4), CultureInfo.InvariantCulture), n)
                )
                .Order(),
        ];

    public int Newest => _files[^1].Version;

    /// <summary>What must be applied to a database of that version, in order.</summary>
    public IEnumerable<(int Version, string Sql)> After(int version) =>
        _files.Where(f => f.Version > version).Select(f => (f.Version, Read(f.Name)));

    private static string Read(string name)
    {
        using var stream = typeof(MigrationFiles).Assembly.GetManifestResourceStream(name)!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
