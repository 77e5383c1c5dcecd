using System.Security.Cryptography;

namespace TurfWatch.Host.Jobs;

/// <summary>This worker among those that share a database.</summary>
internal static class Worker
{
    /// <summary>A name that no other has, nor this one after a restart: machine, process, and a random end, since containers repeat the first two.</summary>
    public static string Name { get; } =
        $"{Environment.MachineName}:{Environment.ProcessId}:{Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(3))}";
}
