using System.Net;
using System.Net.Sockets;

namespace TurfWatch.Host.Commands;

/// <summary>The addresses that receivers see our mail come from.</summary>
/// <param name="Relay">The relay's name.</param>
/// <param name="Known">The operator named them; else they are those at which the relay takes our mail, which may be others.</param>
/// <param name="All">IPv4 and IPv6.</param>
/// <param name="Problem">Why the relay's could not be looked up.</param>
internal sealed record SendingAddresses(
    string Relay,
    bool Known,
    IReadOnlyList<IPAddress> All,
    string? Problem
)
{
    /// <summary>The option by which the operator names them.</summary>
    public const string Option = "--sends-from";

    /// <exception cref="MisuseException">A text is no address.</exception>
    public static IReadOnlyList<IPAddress> Read(IEnumerable<string> texts) =>
        [
            .. texts.Select(text =>
                IPAddress.TryParse(text, out var address)
                    ? address
                    : throw new MisuseException(
                        $"{Option} is '{text}'; write the address that your relay sends from, such as 203.0.113.25."
                    )
            ),
        ];

    public static async Task<SendingAddresses> OfAsync(
        string relay,
        IReadOnlyList<IPAddress> named,
        NameServer names,
        CancellationToken cancel
    )
    {
        if (named.Count > 0)
        {
            return new(relay, true, named, null);
        }

        var found = await names.AddressesAsync(relay, cancel);
        return new(relay, false, [.. found.Values.Select(IPAddress.Parse)], found.Problem);
    }

    /// <summary>How a sentence calls one of them: "the relay (smtp.example.net is 192.0.2.25)".</summary>
    public string Called(IPAddress address) =>
        Known ? $"{address}, which the relay sends from" : $"the relay ({Relay} is {address})";

    /// <summary>Whether an address is one that no receiver elsewhere ever sees (RFC 1918, RFC 4193, loopback, link-local).</summary>
    public static bool IsPrivate(IPAddress address)
    {
        if (address.AddressFamily == AddressFamily.InterNetworkV6)
        {
            return IPAddress.IsLoopback(address)
                || address.IsIPv6LinkLocal
                || address.IsIPv6UniqueLocal;
        }

        var bytes = address.GetAddressBytes();
        return bytes[0] is 10 or 127
            || (bytes[0] == 172 && bytes[1] is >= 16 and < 32)
            || (bytes[0] == 192 && bytes[1] == 168)
            || (bytes[0] == 169 && bytes[1] == 254);
    }
}
