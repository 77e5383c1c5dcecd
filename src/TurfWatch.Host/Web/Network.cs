using System.Net;
using System.Net.Sockets;
using Microsoft.AspNetCore.HttpOverrides;

namespace TurfWatch.Host.Web;

/// <summary>Where a request comes from, as far as limits go: nobody owns a single address, but many own a /64 of IPv6.</summary>
internal static class Network
{
    private const int V4Bytes = 3;
    private const int V6Bytes = 8;

    /// <summary>The network of a connection, for example 203.0.113.0/24.</summary>
    public static string Of(IPAddress? address)
    {
        if (address is null)
        {
            return "unknown";
        }

        var plain = address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
        var kept = plain.AddressFamily == AddressFamily.InterNetwork ? V4Bytes : V6Bytes;
        var bytes = plain.GetAddressBytes();
        bytes.AsSpan(kept).Clear();
        return $"{new IPAddress(bytes)}/{kept * 8}";
    }

    /// <summary>Believes what a known proxy says of who is behind it, and nobody else.</summary>
    public static void UseKnownProxies(this IApplicationBuilder app, WebOptions options)
    {
        if (options.KnownProxies.Count == 0)
        {
            return;
        }

        var forwarded = new ForwardedHeadersOptions
        {
            ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto,
            ForwardLimit = null,
        };
        forwarded.KnownProxies.Clear();
        forwarded.KnownIPNetworks.Clear();
        foreach (var proxy in options.KnownProxies)
        {
            forwarded.KnownProxies.Add(IPAddress.Parse(proxy));
        }

        app.UseForwardedHeaders(forwarded);
    }
}
