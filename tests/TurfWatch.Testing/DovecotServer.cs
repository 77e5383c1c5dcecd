using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text;

namespace TurfWatch.Testing;

/// <summary>
/// Dovecot, an IMAP server of someone else's, with a configuration of its own: mail lies in a
/// Maildir, nothing of the machine's own Dovecot is touched.
/// </summary>
public sealed class DovecotServer : IAsyncDisposable
{
    private readonly string _program;
    private readonly DirectoryInfo _folder;
    private Process? _process;
    private int _delivered;

    private DovecotServer(string program, DirectoryInfo folder, int port) =>
        (_program, _folder, Port) = (program, folder, port);

    public int Port { get; }

    /// <summary>The folder of one user's mail.</summary>
    public string MailOf(string user) => Path.Combine(_folder.FullName, "mail", user);

    /// <summary>What the server logged.</summary>
    public string Log => File.ReadAllText(Path.Combine(_folder.FullName, "log"));

    /// <summary>Starts it, or skips the test when it is not installed.</summary>
    /// <param name="settings">More lines for its configuration.</param>
    /// <param name="password">The one password that is right; null means any.</param>
    public static async Task<DovecotServer> StartAsync(
        CancellationToken cancellationToken,
        string settings = "",
        string? password = null
    )
    {
        var server = new DovecotServer(
            Needs.Program("dovecot", "dovecot-imapd"),
            Directory.CreateTempSubdirectory("dovecot-"),
            FreePort()
        );
        server.Configure(settings, password is null ? "nopassword=y" : $"password={password}");
        await server.StartAgainAsync(cancellationToken);
        return server;
    }

    /// <summary>Starts it after <see cref="StopAsync"/>, on the same port with the same mail.</summary>
    public async Task StartAgainAsync(CancellationToken cancellationToken)
    {
        var start = new ProcessStartInfo(_program)
        {
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        start.ArgumentList.Add("-F");
        start.ArgumentList.Add("-c");
        start.ArgumentList.Add(Path.Combine(_folder.FullName, "dovecot.conf"));
        _process = Process.Start(start)!;
        for (var attempt = 0; ; attempt++)
        {
            try
            {
                using var probe = new TcpClient();
                await probe.ConnectAsync(IPAddress.Loopback, Port, cancellationToken);
                return;
            }
            catch (SocketException) when (attempt < 200 && !_process.HasExited)
            {
                await Task.Delay(50, cancellationToken);
            }
            catch (SocketException e)
            {
                throw new InvalidOperationException(
                    $"dovecot did not start: {(_process.HasExited ? await _process.StandardError.ReadToEndAsync(cancellationToken) : Log)}",
                    e
                );
            }
        }
    }

    /// <summary>Ends it and with it all connections.</summary>
    public async Task StopAsync()
    {
        if (_process is { HasExited: false } running)
        {
            // SIGTERM to the master, which ends its children.
            using var kill = Process.Start("kill", ["-TERM", $"{running.Id}"]);
            await kill.WaitForExitAsync();
            await running.WaitForExitAsync();
        }

        _process?.Dispose();
        _process = null;
    }

    /// <summary>Puts a message into a user's mailbox as a mail server on this machine would (Maildir: written whole, then renamed).</summary>
    public void Deliver(string user, byte[] message)
    {
        var name = $"{1_700_000_000 + _delivered}.M{_delivered++}P1.test";
        foreach (var part in new[] { "tmp", "new", "cur" })
        {
            Ours(Directory.CreateDirectory(Path.Combine(MailOf(user), part)).FullName);
        }

        Ours(MailOf(user));
        var draft = Path.Combine(MailOf(user), "tmp", name);
        File.WriteAllBytes(draft, message);
        Ours(draft);
        File.Move(draft, Path.Combine(MailOf(user), "new", name));
    }

    public void Deliver(string user, string message) =>
        Deliver(user, Encoding.UTF8.GetBytes(message.ReplaceLineEndings("\n")));

    /// <summary>The messages in a folder of a user; the empty name is the inbox.</summary>
    public IReadOnlyList<string> Messages(string user, string folder = "") =>
        [
            .. new[] { "new", "cur" }
                .Select(p => Path.Combine(MailOf(user), folder.Length > 0 ? $".{folder}" : "", p))
                .Where(Directory.Exists)
                .SelectMany(Directory.GetFiles)
                .Order(StringComparer.Ordinal)
                .Select(File.ReadAllText),
        ];

    /// <summary>Makes a stopped server number a user's mail anew: another UIDVALIDITY, other UIDs.</summary>
    public void ForgetNumbers(string user)
    {
        foreach (var file in Directory.GetFiles(MailOf(user), "dovecot*"))
        {
            File.Delete(file);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await StopAsync();
        _folder.Delete(recursive: true);
    }

    private void Configure(string settings, string passwords)
    {
        // As root, mail must belong to somebody else; otherwise everything runs as whoever runs the tests.
        var root = Environment.IsPrivilegedProcess;
        var user = root ? "dovecot" : Environment.UserName;
        var login = root ? "dovenull" : user;
        var (uid, gid) = root ? ("65534", "65534") : (Id("-u"), Id("-g"));
        var folder = _folder.FullName;
        File.WriteAllText(
            Path.Combine(folder, "dovecot.conf"),
            $$"""
            base_dir = {{folder}}/run
            log_path = {{folder}}/log
            protocols = imap
            listen = 127.0.0.1
            ssl = no
            disable_plaintext_auth = no
            default_internal_user = {{user}}
            default_login_user = {{login}}
            first_valid_uid = 1
            mail_fsync = never
            mail_location = maildir:{{folder}}/mail/%u
            passdb {
              driver = static
              args = {{passwords}}
            }
            userdb {
              driver = static
              args = uid={{uid}} gid={{gid}} home={{folder}}/mail/%u
            }
            service imap-login {
              chroot =
              inet_listener imap {
                port = {{Port}}
              }
              inet_listener imaps {
                port = 0
              }
            }
            service anvil {
              chroot =
            }
            {{settings}}

            """
        );
        Directory.CreateDirectory(Path.Combine(folder, "mail"));
        File.SetUnixFileMode(folder, (UnixFileMode)0b111_101_101);
        Ours(Path.Combine(folder, "mail"));
    }

    // Everybody may write: the server runs as somebody else when the tests run as root.
    private static void Ours(string path) =>
        File.SetUnixFileMode(path, (UnixFileMode)0b111_111_111);

    private static string Id(string which)
    {
        using var id = Process.Start(
            new ProcessStartInfo("id", [which])
            {
                RedirectStandardOutput = true,
                UseShellExecute = false,
            }
        )!;
        return id.StandardOutput.ReadToEnd().Trim();
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
