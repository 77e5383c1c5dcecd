using System.Net;
using System.Net.Sockets;
using System.Text;
using Microsoft.AspNetCore.Builder;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Configuration;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Fuzz.Targets;

/// <summary>
/// The pages of the whole service, over a real connection: whatever is asked and sent, no answer is a fault of ours,
/// nothing that was typed becomes HTML, and every page has its headers. The service starts with the first input.
/// </summary>
internal static class WebTarget
{
    private static readonly Instant Now = Instant.FromUtc(2026, 11, 25, 15, 0);

    private static readonly Lazy<WebService> Service = new(WebService.Start);

    private static readonly string[] Framing =
    [
        "content-length",
        "transfer-encoding",
        "connection",
        "expect",
        "upgrade",
        "host",
    ];

    public static FuzzTarget Make() =>
        new("web", Ask)
        {
            LongestInput = 16 * 1024,
            MostTime = TimeSpan.FromSeconds(5),
            Words =
            [
                "POST",
                "GET",
                "HEAD",
                "PUT",
                "/join",
                "/u/{u}",
                "/lawn/{lawn}",
                "/lawn/{lawn}/say",
                "/lawn/{lawn}/remove",
                "/lawn/{lawn}/settings",
                "/undo/{undo}",
                "/done/{done}?day=2026-11-25",
                "{once}",
                "{stamp}",
                "%00",
                "%0d%0a",
                "%ED%A0%80",
                "&",
                "multipart/form-data; boundary=b",
                "X-Forwarded-For: 203.0.113.9",
            ],
        };

    private static void Ask(byte[] input)
    {
        var (head, answer) = Service.Value.Ask(Request(input));
        var status = int.Parse(head.Split(' ', 3)[1]);
        Promise.Holds(status is < 500 or 501 or 505, $"answer {status}");
        if (answer.Length > 0)
        {
            foreach (
                var header in (string[])
                    [
                        "Content-Security-Policy: default-src 'none'",
                        "X-Content-Type-Options: nosniff",
                        "Referrer-Policy: no-referrer",
                        "Cache-Control: ",
                    ]
            )
            {
                Promise.Holds(
                    head.Contains(header, StringComparison.OrdinalIgnoreCase),
                    $"a page without {header}"
                );
            }

            Promise.Holds(
                // Charts and calendars may be kept by the one who asked.
                head.Contains("Cache-Control: no-store", StringComparison.OrdinalIgnoreCase)
                    || head.Contains("Cache-Control: private", StringComparison.OrdinalIgnoreCase),
                "a page that others may keep"
            );
            Promise.Holds(
                // As a file of a table or of JSON it is text.
                !head.Contains("text/html", StringComparison.OrdinalIgnoreCase)
                    || !answer.Contains("<script", StringComparison.OrdinalIgnoreCase)
                        && !answer.Contains("<i7x", StringComparison.OrdinalIgnoreCase),
                "what was typed became HTML"
            );
        }

        Promise.Holds(
            !head.Contains("\nLocation:", StringComparison.OrdinalIgnoreCase),
            "a redirect"
        );
    }

    // A first line, headers and a body of any kind, but framed as HTTP, so that it is our pages that are tried.
    private static byte[] Request(byte[] input)
    {
        var text = Service.Value.Fill(Encoding.Latin1.GetString(input));
        var cut = text.IndexOf("\n\n", StringComparison.Ordinal);
        var lines = (cut < 0 ? text : text[..cut]).Split('\n');
        var body = Encoding.Latin1.GetBytes(cut < 0 ? "" : text[(cut + 2)..]);
        var first = lines[0].Trim().Split(' ', 2);
        var head = new StringBuilder();
        head.Append(
            new string([.. first[0].Where(char.IsAsciiLetter)]) is { Length: > 0 } method
                ? method
                : "GET"
        );
        var path = new string([
            .. (first.Length > 1 ? first[1] : "/").Where(c => c is > ' ' and < '\x7f'),
        ]);
        head.Append(' ')
            .Append(path.StartsWith('/') ? path : $"/{path}")
            .Append(" HTTP/1.1\r\nHost: lawn.example.org\r\n");
        foreach (var line in lines.Skip(1).Select(l => l.Trim('\r')))
        {
            var colon = line.IndexOf(':', StringComparison.Ordinal);
            if (
                colon > 0
                && line[..colon].All(c => char.IsAsciiLetterOrDigit(c) || c == '-')
                && !Framing.Contains(line[..colon], StringComparer.OrdinalIgnoreCase)
                && !line.Contains('\0', StringComparison.Ordinal)
            )
            {
                head.Append(line).Append("\r\n");
            }
        }

        head.Append("Content-Length: ").Append(body.Length).Append("\r\n\r\n");
        return [.. Encoding.Latin1.GetBytes(head.ToString()), .. body];
    }

    private sealed class WebService
    {
        private readonly Dictionary<string, string> _tokens;
        private readonly Uri _address;
        private Socket? _socket;

        private WebService(Uri address, Dictionary<string, string> tokens) =>
            (_address, _tokens) = (address, tokens);

        public static WebService Start()
        {
            var folder = Path.Combine(
                Directory.Exists("/dev/shm") ? "/dev/shm" : Path.GetTempPath(),
                $"turfwatch-fuzz-{Environment.ProcessId}-web"
            );
            Directory.CreateDirectory(folder);
            AppDomain.CurrentDomain.ProcessExit += (_, _) => Directory.Delete(folder, true);
            var file = Path.Combine(folder, "turfwatch.json");
            File.WriteAllText(
                file,
                $$"""
                {
                  "Weather": { "Contact": "ops@example.org", "CacheDirectory": "", "Nws": { "Enabled": false }, "NasaPower": { "Enabled": false } },
                  "Store": { "DataDirectory": "{{folder}}/data" },
                  "Web": { "Listen": "http://127.0.0.1:0", "KnownProxies": ["127.0.0.1"] },
                  "Log": { "Level": "None" }
                }
                """
            );
            var settings = SettingsLoader.Load(file, folder);
            return StartAsync(settings).GetAwaiter().GetResult();
        }

        private static async Task<WebService> StartAsync(Settings settings)
        {
            var clock = new FixedClock(Now);
            var store = await TurfStore.OpenAsync(settings.Get<StoreOptions>(), clock, default);
            var who = (
                await store.Subscribers.AddAsync(
                    "pat@example.com",
                    new Lawn
                    {
                        Name = "<i7x>\"'",
                        Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
                        Grass = GrassKind.Bermuda,
                        AreaM2 = 278,
                    },
                    default
                )
            )!;
            var tokens = LinkTokens.Open(settings.Get<StoreOptions>().DataDirectory);
            var app = ServiceHost.Build(settings, store, tokens, clock);
            await app.StartAsync();
            var later = Now + Duration.FromDays(1);
            return new(
                new Uri(app.Urls.First()),
                new(StringComparer.Ordinal)
                {
                    ["{lawn}"] = tokens.Issue(LinkPurpose.LawnPage, who.Lawns[0].Id, later),
                    ["{u}"] = tokens.Issue(MessageComposer.UnsubscribePurpose, 99),
                    ["{once}"] = tokens.Issue(LinkPurpose.LawnForm, 1, later),
                    ["{done}"] = tokens.Issue(
                        new DeedOffer(JournalKind.Mowed, new LocalDate(2026, 11, 24), 5),
                        who.Lawns[0].Id,
                        later
                    ),
                    ["{calendar}"] = tokens.Issue(LinkPurpose.Calendar, who.Lawns[0].Id << 20),
                    ["{undo}"] = tokens.Issue(LinkPurpose.Undo, 1, later),
                    ["{confirm}"] = tokens.Issue(LinkPurpose.Confirm, who.Subscriber.Id, later),
                    ["{rejoin}"] = tokens.Issue(LinkPurpose.Rejoin, who.Subscriber.Id, later),
                    ["{stamp}"] = tokens.Issue(
                        LinkPurpose.JoinForm,
                        (Now - Duration.FromMinutes(1)).ToUnixTimeSeconds(),
                        later
                    ),
                }
            );
        }

        public string Fill(string text)
        {
            foreach (var (name, token) in _tokens)
            {
                text = text.Replace(name, token, StringComparison.Ordinal);
            }

            return text;
        }

        public (string Head, string Body) Ask(byte[] request)
        {
            for (var attempt = 0; ; attempt++)
            {
                try
                {
                    _socket ??= Connect();
                    _socket.Send(request);
                    return Read(isHead: request.AsSpan().StartsWith("HEAD "u8));
                }
                catch (Exception e)
                    when (e is SocketException or EndOfStreamException && attempt == 0)
                {
                    // The service may close a connection after an answer; a second time it has no reason to.
                    _socket?.Dispose();
                    _socket = null;
                }
            }
        }

        private Socket Connect()
        {
            var socket = new Socket(SocketType.Stream, ProtocolType.Tcp)
            {
                NoDelay = true,
                ReceiveTimeout = 20_000,
            };
            socket.Connect(IPAddress.Loopback, _address.Port);
            return socket;
        }

        private (string Head, string Body) Read(bool isHead)
        {
            var bytes = new List<byte>(4096);
            var buffer = new byte[16 * 1024];
            var (headEnd, end, chunked) = (-1, -1, false);
            while (true)
            {
                if (headEnd < 0)
                {
                    var all = bytes.ToArray();
                    headEnd = all.AsSpan().IndexOf("\r\n\r\n"u8);
                    if (headEnd >= 0)
                    {
                        var head = Encoding.Latin1.GetString(all, 0, headEnd);
                        var length = Header(head, "Content-Length");
                        chunked = Header(head, "Transfer-Encoding") == "chunked" && !isHead;
                        end =
                            chunked ? -1
                            : isHead || length is null ? headEnd + 4
                            : headEnd + 4 + int.Parse(length);
                    }
                }

                var whole = headEnd >= 0 && (chunked ? EndsChunked(bytes) : bytes.Count >= end);
                if (whole)
                {
                    var text = Encoding.UTF8.GetString([.. bytes]);
                    var at = text.IndexOf("\r\n\r\n", StringComparison.Ordinal);
                    if (
                        text[..at].Contains("Connection: close", StringComparison.OrdinalIgnoreCase)
                    )
                    {
                        _socket!.Dispose();
                        _socket = null;
                    }

                    return (text[..at], text[(at + 4)..]);
                }

                var n = _socket!.Receive(buffer);
                if (n == 0)
                {
                    throw new EndOfStreamException("the service closed the connection");
                }

                bytes.AddRange(buffer.AsSpan(0, n));
            }
        }

        private static bool EndsChunked(List<byte> bytes) =>
            bytes.Count >= 5 && bytes.TakeLast(5).SequenceEqual("0\r\n\r\n"u8.ToArray());

        private static string? Header(string head, string name) =>
            head.Split("\r\n")
                .Select(l => l.Split(": ", 2))
                .FirstOrDefault(c =>
                    c.Length == 2 && c[0].Equals(name, StringComparison.OrdinalIgnoreCase)
                )
                ?[1];
    }
}
