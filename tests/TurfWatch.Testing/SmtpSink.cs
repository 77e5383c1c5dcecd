using System.Diagnostics;
using System.Net;
using System.Net.Sockets;

namespace TurfWatch.Testing;

/// <summary>Postfix's test server, smtp-sink, as a child process: someone else's idea of SMTP. It keeps each message in a file.</summary>
public sealed class SmtpSink : IAsyncDisposable
{
    private readonly Process _process;
    private readonly DirectoryInfo _folder;

    private SmtpSink(Process process, DirectoryInfo folder, int port)
    {
        (_process, _folder, Port) = (process, folder, port);
    }

    public int Port { get; }

    /// <summary>Starts it, or skips the test when it is not installed.</summary>
    /// <param name="arguments">More of its options, for example <c>-Q</c>, <c>MAIL</c>.</param>
    public static async Task<SmtpSink> StartAsync(
        CancellationToken cancellationToken,
        params string[] arguments
    )
    {
        var program = Needs.Program("smtp-sink", "postfix");
        var folder = Directory.CreateTempSubdirectory("smtp-sink-");
        File.SetUnixFileMode(folder.FullName, (UnixFileMode)0b111_111_111);
        var port = FreePort();
        var start = new ProcessStartInfo(program) { WorkingDirectory = folder.FullName };
        if (Environment.IsPrivilegedProcess)
        {
            start.ArgumentList.Add("-u");
            start.ArgumentList.Add("nobody");
        }

        start.ArgumentList.Add("-d");
        start.ArgumentList.Add(Path.Combine(folder.FullName, "m."));
        foreach (var argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }

        start.ArgumentList.Add($"127.0.0.1:{port}");
        start.ArgumentList.Add("100");
        var sink = new SmtpSink(Process.Start(start)!, folder, port);
        for (var attempt = 0; ; attempt++)
        {
            try
            {
                using var probe = new TcpClient();
                await probe.ConnectAsync(IPAddress.Loopback, port, cancellationToken);
                return sink;
            }
            catch (SocketException) when (attempt < 100 && !sink._process.HasExited)
            {
                await Task.Delay(20, cancellationToken);
            }
        }
    }

    /// <summary>The messages so far, as smtp-sink wrote them: envelope lines (X-Mail-Args, X-Rcpt-Args) before the message.</summary>
    public IReadOnlyList<string> Messages() =>
        [
            .. _folder
                .GetFiles("m.*")
                .Where(f => f.Length > 0)
                .OrderBy(f => f.Name, StringComparer.Ordinal)
                .Select(f => File.ReadAllText(f.FullName)),
        ];

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        await _process.WaitForExitAsync();
        _process.Dispose();
        _folder.Delete(recursive: true);
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
