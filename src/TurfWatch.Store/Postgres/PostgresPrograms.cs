using System.Collections.Immutable;
using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using Npgsql;

namespace TurfWatch.Store.Postgres;

/// <summary>
/// PostgreSQL's own programs, which write and read copies of a database. They are told where the server is, and the password, by
/// their environment: a command line is for all to see.
/// </summary>
/// <param name="folders">Where they are looked for, in order.</param>
internal sealed partial class PostgresPrograms(IReadOnlyList<string> folders)
{
    private const int MostLines = 200;

    /// <summary>Those of this machine: on the path, and where Linux distributions keep each version apart.</summary>
    public static PostgresPrograms OfMachine() =>
        new([
            .. (Environment.GetEnvironmentVariable("PATH") ?? "").Split(
                Path.PathSeparator,
                StringSplitOptions.RemoveEmptyEntries
            ),
            .. Versions("/usr/lib/postgresql", "*"),
            .. Versions("/usr", "pgsql-*"),
        ]);

    /// <summary>
    /// The program of the oldest version that knows the server. One that is newer than it needs to be may write what this
    /// server cannot read back.
    /// </summary>
    /// <exception cref="StoreException">There is none, or only older ones.</exception>
    public async Task<string> FindAsync(string name, int server, CancellationToken cancellation)
    {
        var found = new List<(int Major, string Path)>();
        foreach (
            var path in folders
                .Select(f => Path.Combine(f, name))
                .Where(File.Exists)
                .Distinct(StringComparer.Ordinal)
        )
        {
            if (await MajorAsync(path, cancellation) is { } major)
            {
                found.Add((major, path));
            }
        }

        var fit = found.Where(f => f.Major >= server).OrderBy(f => f.Major).FirstOrDefault();
        if (fit.Path is not null)
        {
            return fit.Path;
        }

        var install = string.Create(
            CultureInfo.InvariantCulture,
            $"Install it beside turfwatch (Debian: apt-get install postgresql-client-{server}), then run this again."
        );
        throw new StoreException(
            StoreFault.CannotOpen,
            found.Count == 0
                ? $"The program {name} of PostgreSQL is not on this machine: it is neither on PATH nor in /usr/lib/postgresql/*/bin. {install}"
                : $"{found.MaxBy(f => f.Major).Path} is of PostgreSQL {found.Max(f => f.Major)}, but the server is {server}: an older {name} cannot read it. {install}"
        );
    }

    /// <summary>Runs one of them to its end.</summary>
    /// <param name="program">Its path.</param>
    /// <param name="arguments">Nothing secret.</param>
    /// <param name="server">The server that it is to talk to, by <see cref="PostgresConnection.Environment"/>; null when it talks to none.</param>
    /// <param name="output">Takes what it writes; null when it writes nothing that is wanted.</param>
    /// <param name="cancellation">Ends it.</param>
    /// <exception cref="StoreException">It failed; the message has what it said, without rows.</exception>
    public static async Task RunAsync(
        string program,
        IReadOnlyList<string> arguments,
        IReadOnlyDictionary<string, string>? server,
        Stream? output,
        CancellationToken cancellation
    )
    {
        using var process = Start(program, arguments, server);
        try
        {
            var errors = ErrorsAsync(process.StandardError, cancellation);
            // What it writes comes through a pipe of ours, so that it ends when we do.
            await process.StandardOutput.BaseStream.CopyToAsync(
                output ?? Stream.Null,
                1 << 20,
                cancellation
            );
            await process.WaitForExitAsync(cancellation);
            if (process.ExitCode != 0)
            {
                throw new StoreException(
                    StoreFault.CannotOpen,
                    $"{Path.GetFileName(program)} ended with {process.ExitCode}: {Said(await errors)}"
                );
            }
        }
        catch
        {
            End(process);
            throw;
        }
    }

    /// <summary>What a program says of its failure: the lines that name it. The others repeat rows and commands.</summary>
    internal static string Said(IEnumerable<string> lines)
    {
        var told = lines
            .Where(l => Failure().IsMatch(l))
            .Select(l => l.Trim().TrimEnd('.'))
            .Distinct(StringComparer.Ordinal)
            .Take(3)
            .ToList();
        return told.Count == 0 ? "it did not say why." : string.Join("; ", told) + ".";
    }

    private static Process Start(
        string program,
        IReadOnlyList<string> arguments,
        IReadOnlyDictionary<string, string>? server
    )
    {
        var start = new ProcessStartInfo(program, arguments)
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            // A folder that every account may enter.
            WorkingDirectory = "/",
        };
        foreach (var (name, value) in server ?? ImmutableDictionary<string, string>.Empty)
        {
            start.Environment[name] = value;
        }

        // What it says is looked through for English words.
        start.Environment["LC_ALL"] = "C";
        try
        {
            var process = Process.Start(start)!;
            process.StandardInput.Close();
            return process;
        }
        catch (Win32Exception e)
        {
            throw new StoreException(
                StoreFault.CannotOpen,
                $"The program {program} cannot be run ({e.Message.TrimEnd('.')}). Install PostgreSQL's client programs anew, then run this again.",
                e
            );
        }
    }

    private static async Task<List<string>> ErrorsAsync(
        StreamReader errors,
        CancellationToken cancellation
    )
    {
        var lines = new List<string>();
        while (await errors.ReadLineAsync(cancellation) is { } line)
        {
            if (lines.Count < MostLines)
            {
                lines.Add(line);
            }
        }

        return lines;
    }

    private static async Task<int?> MajorAsync(string path, CancellationToken cancellation)
    {
        using var text = new MemoryStream();
        try
        {
            await RunAsync(path, ["--version"], null, text, cancellation);
        }
        catch (StoreException)
        {
            // There, but of no use: the next one may be.
            return null;
        }

        var told = Version().Match(System.Text.Encoding.UTF8.GetString(text.ToArray()));
        return told.Success
            ? int.Parse(told.Groups["major"].ValueSpan, CultureInfo.InvariantCulture)
            : null;
    }

    private static void End(Process process)
    {
        try
        {
            process.Kill(entireProcessTree: true);
        }
        catch (InvalidOperationException)
        {
            // It has ended.
        }
    }

    private static IEnumerable<string> Versions(string folder, string pattern) =>
        Directory.Exists(folder)
            ? Directory.GetDirectories(folder, pattern).Select(d => Path.Combine(d, "bin"))
            : [];

    [GeneratedRegex(@"\(PostgreSQL\) (?<major>[0-9]+)", RegexOptions.NonBacktracking, 1000)]
    private static partial Regex Version();

    [GeneratedRegex(@"\b(?:error|ERROR|FATAL|PANIC):", RegexOptions.NonBacktracking, 1000)]
    private static partial Regex Failure();
}
