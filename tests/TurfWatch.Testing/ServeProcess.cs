using System.Collections.Immutable;
using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using Xunit;

namespace TurfWatch.Testing;

/// <summary><c>turfwatch serve</c> as a process of its own: what a person starts.</summary>
public sealed class ServeProcess : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    private readonly StringBuilder _log = new();
    private readonly Process _process;
    private readonly HttpClient _http;

    private ServeProcess(ProcessStartInfo start, int port)
    {
        _http = new() { BaseAddress = new($"http://127.0.0.1:{port}/") };
        _process = Process.Start(start)!;
        _process.OutputDataReceived += (_, line) => Append(line.Data);
        _process.ErrorDataReceived += (_, line) => Append(line.Data);
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
    }

    public int Id => _process.Id;

    /// <summary>What it wrote so far.</summary>
    public string Log
    {
        get
        {
            lock (_log)
            {
                return _log.ToString();
            }
        }
    }

    public bool HasExited => _process.HasExited;

    /// <summary>The memory that it holds.</summary>
    public long ResidentMiB
    {
        get
        {
            _process.Refresh();
            return _process.WorkingSet64 >> 20;
        }
    }

    /// <summary>Its pages, as a browser on this machine reaches them.</summary>
    public HttpClient Http => _http;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Starts it on a data folder; the weather services are out of reach unless <paramref name="settings"/> says otherwise.</summary>
    /// <param name="folder">Data folder and working directory.</param>
    /// <param name="settings">Options by their key, for example <c>Mail:Smtp:Host</c>.</param>
    public static ServeProcess Start(string folder, params (string Key, string Value)[] settings) =>
        Start(folder, settings, ImmutableDictionary<string, string>.Empty);

    /// <summary>The same with more in its environment and on its command line, and with its output sent elsewhere than to <see cref="Log"/>.</summary>
    public static ServeProcess Start(
        string folder,
        IEnumerable<(string Key, string Value)> settings,
        IReadOnlyDictionary<string, string> environment,
        IReadOnlyList<string>? arguments = null,
        string? output = null
    )
    {
        var port = FreePort();
        var program = Path.Combine(AppContext.BaseDirectory, "turfwatch.dll");
        // Whoever runs the tests in the background has them, and so what they start, ignore SIGINT.
        string[] command =
        [
            "env",
            "--default-signal=INT",
            .. output is null
                ? (string[])["dotnet", program]
                : ["sh", "-c", "exec dotnet \"$0\" \"$@\" >\"$OUTPUT\" 2>&1", program],
        ];
        var start = new ProcessStartInfo(command[0], [.. command[1..], "serve", .. arguments ?? []])
        {
            WorkingDirectory = folder,
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        (string Key, string Value)[] usual =
        [
            ("Store:DataDirectory", folder),
            ("Weather:Contact", "test@example.org"),
            // Nothing listens there, and the tests need no network.
            ("Weather:Nws:BaseAddress", "http://127.0.0.1:9/"),
            ("Weather:NasaPower:BaseAddress", "http://127.0.0.1:9/"),
            ("Web:Listen", $"http://127.0.0.1:{port}"),
            ("Jobs:FetchSweep", "00:00:01"),
            ("Jobs:MorningSweep", "00:00:01"),
            ("Jobs:DeliverSweep", "00:00:01"),
            ("Delivery:PerSecond", "0"),
            ("Delivery:PerDomainPerSecond", "0"),
        ];
        foreach (var (key, value) in usual.Concat(settings))
        {
            start.Environment["TurfWatch__" + key.Replace(":", "__", StringComparison.Ordinal)] =
                value;
        }

        // Its own file, and not the one that this machine may have in /etc.
        var file = Path.Combine(folder, "serve-process.json");
        File.WriteAllText(file, "{}");
        start.Environment["TURFWATCH_CONFIG"] = file;
        if (output is not null)
        {
            start.Environment["OUTPUT"] = output;
        }

        foreach (var (name, value) in environment)
        {
            start.Environment[name] = value;
        }

        return new(start, port);
    }

    /// <summary>The settings that send mail to a relay on this machine.</summary>
    public static (string Key, string Value)[] Relay(int port) =>
        [
            ("Mail:Smtp:Host", "127.0.0.1"),
            ("Mail:Smtp:Port", $"{port}"),
            ("Mail:Smtp:Security", "None"),
            ("Mail:Sender:FromAddress", "lawn@example.org"),
            ("Mail:Sender:PostalAddress", "1 Test Street, Testville"),
            ("Mail:Sender:PublicBaseUrl", "https://lawn.example.org"),
        ];

    /// <summary>Status and text of <c>/health/ready</c>; 0 while it does not answer.</summary>
    public async Task<(int Status, string Text)> ReadyAsync()
    {
        try
        {
            using var answer = await _http.GetAsync("health/ready", Cancellation);
            return ((int)answer.StatusCode, await answer.Content.ReadAsStringAsync(Cancellation));
        }
        catch (HttpRequestException e)
        {
            return (0, e.Message);
        }
    }

    /// <summary>Waits until the health page says something.</summary>
    public async Task<(int Status, string Text)> UntilReadySaysAsync(Func<string, bool> wanted)
    {
        (int Status, string Text) last = default;
        await UntilAsync(async () =>
        {
            last = await ReadyAsync();
            return last.Status != 0 && wanted(last.Text);
        });
        return last;
    }

    public async Task UntilAsync(Func<Task<bool>> done)
    {
        var started = TimeProvider.System.GetTimestamp();
        while (!await done())
        {
            if (_process.HasExited)
            {
                throw new InvalidOperationException($"the service ended by itself:\n{Log}");
            }

            if (TimeProvider.System.GetElapsedTime(started) > Patience)
            {
                throw new TimeoutException($"not done after {Patience}:\n{Log}");
            }

            await Task.Delay(10, Cancellation);
        }
    }

    /// <summary>SIGKILL; its exit code.</summary>
    public async Task<int> KillAsync()
    {
        _process.Kill();
        return await ExitAsync();
    }

    /// <summary>Waits for its end; its exit code.</summary>
    public async Task<int> ExitAsync()
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        limit.CancelAfter(Patience);
        await _process.WaitForExitAsync(limit.Token);
        return _process.ExitCode;
    }

    /// <summary>SIGSTOP: it stands still where it is, as a suspended machine does.</summary>
    public void Pause() => Signal("STOP");

    /// <summary>SIGCONT.</summary>
    public void Resume() => Signal("CONT");

    /// <summary>SIGTERM, SIGINT, …</summary>
    public void Signal(string name)
    {
        using var kill = Process.Start(
            "kill",
            [$"-{name}", _process.Id.ToString(CultureInfo.InvariantCulture)]
        );
        kill.WaitForExit();
    }

    /// <summary>SIGTERM, and it must end well.</summary>
    public async Task StopAsync()
    {
        Signal("TERM");
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(Cancellation);
        limit.CancelAfter(TimeSpan.FromSeconds(30));
        await _process.WaitForExitAsync(limit.Token);
        if (_process.ExitCode != 0)
        {
            throw new InvalidOperationException($"exit code {_process.ExitCode}:\n{Log}");
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
            await _process.WaitForExitAsync(CancellationToken.None);
        }

        _process.Dispose();
        _http.Dispose();
    }

    private static int FreePort()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }

    private void Append(string? line)
    {
        lock (_log)
        {
            _log.AppendLine(line);
        }
    }
}
