using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Runtime.InteropServices;

namespace TurfWatch.Benchmarks.Scale;

/// <summary>The machine that is measured on, and what one asks of it.</summary>
internal static class Machine
{
    public static string Describe()
    {
        var processor =
            File.ReadLines("/proc/cpuinfo")
                .FirstOrDefault(l => l.StartsWith("model name", StringComparison.Ordinal))
                ?.Split(':')[1]
                .Trim()
            ?? "?";
        var load = File.ReadAllText("/proc/loadavg").Split(' ')[0];
        return $"{Environment.ProcessorCount} cores of {processor}, {RuntimeInformation.FrameworkDescription}, load {load}; {TimeProvider.System.GetUtcNow():yyyy-MM-dd HH:mm} UTC; a flush of 4 KiB takes {Flush():0.00} ms";
    }

    /// <summary>A program of the system, or an exception that says how to get it.</summary>
    public static string Program(string name, string package) =>
        new[] { "/usr/sbin/", "/usr/bin/" }
            .Select(folder => folder + name)
            .FirstOrDefault(File.Exists)
        ?? throw new InvalidOperationException($"{name} is not installed: apt install {package}");

    public static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    /// <summary>Most memory that the process ever had [MiB].</summary>
    public static double PeakMiB(int? pid = null) => Status("VmHWM", pid);

    public static double NowMiB(int? pid = null) => Status("VmRSS", pid);

    public static string Number(double value) =>
        value.ToString("#,##0", CultureInfo.InvariantCulture);

    private static double Status(string key, int? pid) =>
        double.Parse(
            File.ReadLines($"/proc/{pid ?? Environment.ProcessId}/status")
                .First(l => l.StartsWith(key, StringComparison.Ordinal))
                .Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)[1],
            CultureInfo.InvariantCulture
        ) / 1024;

    private static double Flush()
    {
        var path = Path.Combine(Path.GetTempPath(), $"flush-{Environment.ProcessId}");
        using var file = File.OpenHandle(
            path,
            FileMode.Create,
            FileAccess.Write,
            FileShare.None,
            FileOptions.DeleteOnClose
        );
        var page = new byte[4096];
        var took = new List<double>();
        for (var i = 0; i < 50; i++)
        {
            RandomAccess.Write(file, page, i * page.Length);
            var start = Stopwatch.GetTimestamp();
            RandomAccess.FlushToDisk(file);
            took.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
        }

        return took.Order().ElementAt(took.Count / 2);
    }
}
