using System.ComponentModel;
using System.Diagnostics;

namespace TurfWatch.Host.Backups;

/// <summary>
/// What root writes into the data folder must belong to the account of the service, or the service cannot read it.
/// </summary>
internal static class FileOwner
{
    /// <summary>Gives files the owner of their folder; nothing to do unless this is root.</summary>
    /// <exception cref="IOException">They could not be given away; the message says what to run.</exception>
    public static void AsFolder(string folder, params IReadOnlyList<string> paths)
    {
        if (!Environment.IsPrivilegedProcess || OperatingSystem.IsWindows() || paths.Count == 0)
        {
            return;
        }

        try
        {
            using var chown = Process.Start(
                "chown",
                ["--no-dereference", $"--reference={folder}/.", "--", .. paths]
            );
            chown.WaitForExit();
            if (chown.ExitCode == 0)
            {
                return;
            }
        }
        catch (Win32Exception)
        {
            // There is no chown here.
        }

        throw new IOException(
            $"{string.Join(" and ", paths)} could not be given to the owner of {folder}. All else is done; run: chown --reference={folder}/. {string.Join(' ', paths)}"
        );
    }
}
