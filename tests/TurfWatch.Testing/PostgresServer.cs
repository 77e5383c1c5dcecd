using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography.X509Certificates;
using Npgsql;

namespace TurfWatch.Testing;

/// <summary>
/// A PostgreSQL server of a test's own: a new cluster in a scratch folder, on a free port of this machine. Nothing of a
/// server that runs here already is touched. It refuses to run as root, so as root it is run as its own user.
/// </summary>
public sealed class PostgresServer : IAsyncDisposable
{
    /// <summary>The user that owns everything in the cluster.</summary>
    public const string User = "turfwatch";

    private readonly ScratchFolder _folder = new();
    private readonly string _programs;
    private readonly List<string> _settings;
    private Process? _process;
    private int _databases;

    private PostgresServer(string programs, int port, IEnumerable<string> settings) =>
        (_programs, Port, _settings) = (programs, port, [.. settings]);

    public int Port { get; }

    /// <summary>What the server logged.</summary>
    public string Log => File.Exists(LogFile) ? File.ReadAllText(LogFile) : "";

    private string Data => Path.Combine(_folder.Path, "data");

    private string LogFile => Path.Combine(_folder.Path, "log");

    /// <summary>Starts one, or skips the test when PostgreSQL is not installed.</summary>
    /// <param name="cancellation">Cancels.</param>
    /// <param name="durable">What was committed survives a crash, as in real life; otherwise it is faster.</param>
    /// <param name="password">What it asks for; null means nothing.</param>
    /// <param name="certificate">With it, and its key, the server speaks TLS, and refuses who does not; null means no TLS.</param>
    /// <param name="settings">More of its settings, for example <c>max_connections=10</c>.</param>
    public static async Task<PostgresServer> StartAsync(
        CancellationToken cancellation,
        bool durable = false,
        string? password = null,
        X509Certificate2? certificate = null,
        params string[] settings
    )
    {
        string[] fast = ["fsync=off", "synchronous_commit=off", "full_page_writes=off"];
        var server = new PostgresServer(
            Programs(),
            FreePort(),
            [.. durable ? [] : fast, .. settings]
        );
        try
        {
            await server.MakeClusterAsync(password, cancellation);
            if (certificate is not null)
            {
                await server.UseTlsAsync(certificate, password, cancellation);
            }

            await server.StartAgainAsync(cancellation);
            return server;
        }
        catch
        {
            await server.DisposeAsync();
            throw;
        }
    }

    /// <summary>How TurfWatch is told of a database, without the password.</summary>
    public string ConnectionString(string database) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"Host=127.0.0.1;Port={Port};Database={database};Username={User}"
        );

    /// <summary>Makes a new, empty database, or a copy of one that nobody is connected to, and gives its name.</summary>
    public async Task<string> NewDatabaseAsync(
        CancellationToken cancellation,
        string template = "template0"
    )
    {
        var name = string.Create(
            CultureInfo.InvariantCulture,
            $"d{Interlocked.Increment(ref _databases)}"
        );
        await ExecuteAsync(
            "postgres",
            $"CREATE DATABASE {name} TEMPLATE {template} STRATEGY FILE_COPY",
            cancellation
        );
        return name;
    }

    public Task DropDatabaseAsync(string name, CancellationToken cancellation) =>
        ExecuteAsync("postgres", $"DROP DATABASE IF EXISTS {name} WITH (FORCE)", cancellation);

    /// <summary>Runs SQL beside the program under test; the first value of its answer.</summary>
    public async Task<object?> ExecuteAsync(
        string database,
        string sql,
        CancellationToken cancellation
    )
    {
        await using var connection = new NpgsqlConnection(
            ConnectionString(database) + ";Pooling=false;Passfile=" + PassFile
        );
        await connection.OpenAsync(cancellation);
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync(cancellation);
    }

    /// <summary>Starts it after <see cref="StopAsync"/>: same port, same data.</summary>
    public async Task StartAgainAsync(CancellationToken cancellation)
    {
        _process = Process.Start(AsItsUser("postgres", ["-D", Data]))!;
        _ = DrainAsync(_process);
        for (var attempt = 0; ; attempt++)
        {
            try
            {
                await ExecuteAsync("postgres", "SELECT 1", cancellation);
                return;
            }
            catch (Exception e)
                when (e is NpgsqlException or IOException or SocketException
                    && attempt < 300
                    && !_process.HasExited
                )
            {
                await Task.Delay(50, cancellation);
            }
            catch (Exception e) when (e is NpgsqlException or IOException or SocketException)
            {
                throw new InvalidOperationException($"PostgreSQL did not start: {Log}", e);
            }
        }
    }

    /// <summary>Stops it.</summary>
    /// <param name="mode"><c>fast</c> rolls back what is open; <c>immediate</c> is a crash of the server; <c>kill</c> is SIGKILL to all of it.</param>
    public async Task StopAsync(string mode = "fast")
    {
        if (_process is { HasExited: false } running)
        {
            if (mode == "kill")
            {
                // The postmaster's children notice its death by themselves.
                await SignalAsync("KILL", running.Id);
            }
            else
            {
                await SignalAsync(mode == "immediate" ? "QUIT" : "INT", running.Id);
            }

            await running.WaitForExitAsync();
        }

        _process?.Dispose();
        _process = null;
    }

    /// <summary>Sends a signal to one of its processes, for example KILL to the one that serves a connection.</summary>
    public static async Task SignalAsync(string signal, int pid)
    {
        using var kill = Process.Start("kill", [$"-{signal}", $"{pid}"]);
        await kill.WaitForExitAsync();
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync("immediate");
        // After a kill the children may still be writing.
        for (var attempt = 0; ; attempt++)
        {
            try
            {
                _folder.Dispose();
                return;
            }
            catch (IOException) when (attempt < 50)
            {
                await Task.Delay(100);
            }
        }
    }

    private string PassFile => Path.Combine(_folder.Path, "passfile");

    private async Task MakeClusterAsync(string? password, CancellationToken cancellation)
    {
        var start = new DirectoryInfo(_folder.Path);
        var secret = Path.Combine(start.FullName, "password");
        await File.WriteAllTextAsync(secret, password ?? "none", cancellation);
        await File.WriteAllTextAsync(
            PassFile,
            $"127.0.0.1:{Port}:*:{User}:{password ?? "none"}\n",
            cancellation
        );
        File.SetUnixFileMode(PassFile, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        if (Environment.IsPrivilegedProcess)
        {
            await RunAsync(
                new ProcessStartInfo("chown", ["postgres", _folder.Path, secret]),
                cancellation
            );
        }

        await RunAsync(
            AsItsUser(
                "initdb",
                [
                    "-D",
                    Data,
                    "-U",
                    User,
                    "--no-sync",
                    "--encoding=UTF8",
                    "--locale=C",
                    $"--auth={(password is null ? "trust" : "scram-sha-256")}",
                    $"--pwfile={secret}",
                ]
            ),
            cancellation
        );
        await File.AppendAllLinesAsync(
            Path.Combine(Data, "postgresql.conf"),
            [
                "listen_addresses = '127.0.0.1'",
                $"port = {Port}",
                "unix_socket_directories = ''",
                "logging_collector = off",
                "max_connections = 200",
                "shared_buffers = 64MB",
                .. _settings.Select(s => s.Replace("=", " = ", StringComparison.Ordinal)),
            ],
            cancellation
        );
    }

    private async Task UseTlsAsync(
        X509Certificate2 certificate,
        string? password,
        CancellationToken cancellation
    )
    {
        var shown = Path.Combine(_folder.Path, "server.crt");
        var key = Path.Combine(_folder.Path, "server.key");
        await File.WriteAllTextAsync(shown, certificate.ExportCertificatePem(), cancellation);
        await File.WriteAllTextAsync(
            key,
            certificate.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem(),
            cancellation
        );
        // PostgreSQL takes no key that others may read.
        File.SetUnixFileMode(key, UnixFileMode.UserRead);
        if (Environment.IsPrivilegedProcess)
        {
            await RunAsync(new ProcessStartInfo("chown", ["postgres", shown, key]), cancellation);
        }

        await File.AppendAllLinesAsync(
            Path.Combine(Data, "postgresql.conf"),
            ["ssl = on", $"ssl_cert_file = '{shown}'", $"ssl_key_file = '{key}'"],
            cancellation
        );
        await File.WriteAllTextAsync(
            Path.Combine(Data, "pg_hba.conf"),
            $"hostssl all all 127.0.0.1/32 {(password is null ? "trust" : "scram-sha-256")}\n",
            cancellation
        );
    }

    private ProcessStartInfo AsItsUser(string program, IEnumerable<string> arguments)
    {
        var path = Path.Combine(_programs, program);
        var start = Environment.IsPrivilegedProcess
            ? new ProcessStartInfo(
                Needs.Program("setpriv", "util-linux"),
                ["--reuid=postgres", "--regid=postgres", "--init-groups", path, .. arguments]
            )
            : new ProcessStartInfo(path, arguments);
        start.WorkingDirectory = "/";
        start.RedirectStandardError = true;
        start.RedirectStandardOutput = true;
        // Its messages in English, whatever the machine speaks.
        start.Environment["LC_ALL"] = "C";
        return start;
    }

    private async Task DrainAsync(Process process)
    {
        await using var log = new StreamWriter(LogFile, append: true);
        while (await process.StandardError.ReadLineAsync() is { } line)
        {
            await log.WriteLineAsync(line);
            await log.FlushAsync();
        }
    }

    private static async Task RunAsync(ProcessStartInfo start, CancellationToken cancellation)
    {
        start.RedirectStandardError = true;
        start.RedirectStandardOutput = true;
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync(cancellation);
        var error = await process.StandardError.ReadToEndAsync(cancellation);
        await output;
        await process.WaitForExitAsync(cancellation);
        if (process.ExitCode != 0)
        {
            throw new InvalidOperationException(
                $"{start.FileName} {string.Join(' ', start.ArgumentList)} failed: {error}"
            );
        }
    }

    // Debian keeps the server's programs out of PATH, in a folder for each version.
    private static string Programs()
    {
        var newest = Directory.Exists("/usr/lib/postgresql")
            ? Directory
                .GetDirectories("/usr/lib/postgresql")
                .OrderByDescending(d =>
                    double.TryParse(
                        Path.GetFileName(d),
                        CultureInfo.InvariantCulture,
                        out var version
                    )
                        ? version
                        : 0
                )
                .Select(d => Path.Combine(d, "bin"))
                .FirstOrDefault(d => File.Exists(Path.Combine(d, "initdb")))
            : null;
        return newest ?? Path.GetDirectoryName(Needs.Program("initdb", "postgresql"))!;
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
