using System.Buffers.Binary;
using System.Net;
using System.Net.Sockets;
using System.Text;
using DnsClient;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>A name server on a free loopback port that answers A, AAAA, PTR, TXT and MX from a list, in real packets (RFC 1035, 4).</summary>
internal sealed class NameStub : IDisposable
{
    private const int A = 1;
    private const int Ptr = 12;
    private const int Aaaa = 28;
    private const int Failure = 2;
    private const int Mx = 15;
    private const int Txt = 16;
    private const int NoSuchName = 3;

    private readonly Dictionary<(string Name, int Type), List<byte[]>> _records = [];
    private readonly HashSet<string> _broken = [];
    private readonly UdpClient _udp = new(new IPEndPoint(IPAddress.Loopback, 0));
    private readonly CancellationTokenSource _stop = new();

    public NameStub() => _ = AnswerAsync();

    public string Address => $"127.0.0.1:{((IPEndPoint)_udp.Client.LocalEndPoint!).Port}";

    /// <summary>A TXT record, cut into strings of at most 255 bytes as the standard wants it.</summary>
    public NameStub Text(string name, string value) =>
        Add(
            name,
            Txt,
            [
                .. Encoding
                    .ASCII.GetBytes(value)
                    .Chunk(255)
                    .SelectMany(part => (byte[])[(byte)part.Length, .. part]),
            ]
        );

    public NameStub Host(string name, string address) =>
        IPAddress.Parse(address) is { AddressFamily: AddressFamily.InterNetworkV6 } six
            ? Add(name, Aaaa, six.GetAddressBytes())
            : Add(name, A, IPAddress.Parse(address).GetAddressBytes());

    public NameStub Reverse(string address, string name) =>
        Add(IPAddress.Parse(address).GetArpaName().TrimEnd('.'), Ptr, Encode(name));

    /// <summary>A name of which nothing can be told now (SERVFAIL).</summary>
    public NameStub Broken(string name)
    {
        _broken.Add(name);
        return this;
    }

    public NameStub MailServer(string name, string server) =>
        Add(name, Mx, [0, 10, .. Encode(server)]);

    public void Dispose()
    {
        _stop.Cancel();
        _udp.Dispose();
        _stop.Dispose();
    }

    private NameStub Add(string name, int type, byte[] data)
    {
        if (!_records.TryGetValue((name, type), out var list))
        {
            _records[(name, type)] = list = [];
        }

        list.Add(data);
        return this;
    }

    private async Task AnswerAsync()
    {
        try
        {
            while (true)
            {
                var asked = await _udp.ReceiveAsync(_stop.Token);
                await _udp.SendAsync(Answer(asked.Buffer), asked.RemoteEndPoint, _stop.Token);
            }
        }
        catch (Exception e)
            when (e is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            // The test is over.
        }
    }

    private byte[] Answer(byte[] query)
    {
        var labels = new List<string>();
        var at = 12;
        while (query[at] != 0)
        {
            labels.Add(Encoding.ASCII.GetString(query, at + 1, query[at]));
            at += query[at] + 1;
        }

        // Names are the same in any case (RFC 4343).
        var name = string.Join('.', labels).ToLowerInvariant();
        var type = BinaryPrimitives.ReadUInt16BigEndian(query.AsSpan(at + 1));
        var question = query[12..(at + 5)];
        var known = _records.Keys.Any(k => k.Name == name);
        var answers = _records.GetValueOrDefault((name, type), []);
        using var packet = new MemoryStream();
        packet.Write(query, 0, 2);
        // An answer, with authority, recursion wanted and available.
        Two(
            0x8580
                | (
                    _broken.Contains(name) ? Failure
                    : known ? 0
                    : NoSuchName
                )
        );
        Two(1);
        Two(answers.Count);
        Two(0);
        Two(0);
        packet.Write(question);
        foreach (var data in answers)
        {
            Two(0xC00C);
            Two(type);
            Two(1);
            Two(0);
            Two(60);
            Two(data.Length);
            packet.Write(data);
        }

        return packet.ToArray();

        void Two(int number)
        {
            packet.WriteByte((byte)(number >> 8));
            packet.WriteByte((byte)number);
        }
    }

    private static byte[] Encode(string name) =>
        [
            .. name.Split('.', StringSplitOptions.RemoveEmptyEntries)
                .SelectMany(label =>
                    (byte[])[(byte)label.Length, .. Encoding.ASCII.GetBytes(label)]
                ),
            0,
        ];
}
