namespace TurfWatch.Store;

/// <summary>
/// A file that a worker on PostgreSQL holds by a lock of the kernel for as long as its process lives. The workers of one machine
/// that share a data folder learn by it who of them has ended: a lock that can be taken proves that its process is gone, however it
/// went. One that sleeps, or has lost the network, holds its own.
/// </summary>
public sealed class WorkerFile : IDisposable
{
    private const string Start = "worker-";
    private const string Ending = ".lock";

    private readonly FileStream _held;

    private WorkerFile(string worker, FileStream held) => (Worker, _held) = (worker, held);

    /// <summary>The worker's name.</summary>
    public string Worker { get; }

    /// <summary>
    /// Holds a file of that name until the process ends; null where that proves nothing, since the folder takes no file or its
    /// file system no locks. Such a worker judges nobody and is judged by nobody.
    /// </summary>
    /// <param name="dataDirectory">The folder.</param>
    /// <param name="worker">A name that no other has: machine, colon, and the rest.</param>
    public static WorkerFile? Take(string dataDirectory, string worker)
    {
        var path = PathOf(dataDirectory, worker);
        // It gets its name when it is locked: nobody meets it unlocked.
        var draft = path + ".new";
        try
        {
            var held = Lock(draft, FileMode.Create);
            if (held is null || IsFree(draft))
            {
                held?.Dispose();
                File.Delete(draft);
                return null;
            }

            File.Move(draft, path, overwrite: false);
            return new(worker, held);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>
    /// The files of workers that have ended, of the machine of this one, each held so that nobody else sees to it meanwhile. Whoever
    /// has settled what such a worker left deletes its file.
    /// </summary>
    public IReadOnlyList<WorkerFile> Ended()
    {
        var machine = Worker[..(Worker.IndexOf(':', StringComparison.Ordinal) + 1)];
        var folder = Path.GetDirectoryName(_held.Name)!;
        var ended = new List<WorkerFile>();
        try
        {
            foreach (var path in Directory.GetFiles(folder, Start + "*" + Ending))
            {
                var worker = Path.GetFileName(path)[Start.Length..^Ending.Length];
                // A folder on a network may be shared with machines whose locks are not seen here.
                if (
                    worker != Worker
                    && worker.StartsWith(machine, StringComparison.Ordinal)
                    && Lock(path, FileMode.Open) is { } held
                )
                {
                    ended.Add(new(worker, held));
                }
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Another worker sees to it, or the leases run out.
        }

        return ended;
    }

    /// <summary>Nothing of that worker is left to settle.</summary>
    public void Delete() => File.Delete(PathOf(Path.GetDirectoryName(_held.Name)!, Worker));

    /// <summary>Lets go of the lock: from here on the worker counts as ended.</summary>
    public void Dispose() => _held.Dispose();

    private static string PathOf(string folder, string worker) =>
        Path.Combine(Path.GetFullPath(folder), Start + worker + Ending);

    private static bool IsFree(string path)
    {
        using var second = Lock(path, FileMode.Open);
        return second is not null;
    }

    // .NET asks for the lock with flock(LOCK_EX | LOCK_NB), which belongs to this opening of the file, not to the process.
    private static FileStream? Lock(string path, FileMode mode)
    {
        try
        {
            return new(path, mode, FileAccess.ReadWrite, FileShare.None);
        }
        catch (IOException)
        {
            return null;
        }
        catch (UnauthorizedAccessException)
        {
            return null;
        }
    }
}
