using System.Net;
using System.Net.Sockets;

namespace TurfWatch.Host.Commands;

/// <summary>What SPF says of one address, and by what.</summary>
/// <param name="Result">The result.</param>
/// <param name="Why">The term that decided, with the way to it; or what is wrong.</param>
/// <param name="Lookups">How many terms made a receiver ask the DNS.</param>
internal sealed record SpfVerdict(SpfResult Result, string Why, int Lookups);

/// <summary>One evaluation of SPF as a receiver makes it (RFC 7208, 4 and 5). For one use.</summary>
/// <param name="names">Whom to ask.</param>
/// <param name="macro">The message: from where and from whom.</param>
internal sealed class SpfCheck(NameServer names, SpfMacro macro)
{
    /// <summary>So many terms may make a receiver ask (RFC 7208, 4.6.4), and so many servers or names may come of one.</summary>
    public const int Most = 10;

    /// <summary>So many of them may find nothing (the same place).</summary>
    public const int MostVoid = 2;

    private const string Way = " → ";

    private int _lookups;
    private int _void;

    public async Task<SpfVerdict> RunAsync(string domain, CancellationToken cancel)
    {
        try
        {
            var (result, why) = await AskAsync(domain, cancel);
            return new(result, why, _lookups);
        }
        catch (SpfException e)
        {
            return new(e.Result, e.Message, _lookups);
        }
    }

    private async Task<(SpfResult Result, string Why)> AskAsync(
        string domain,
        CancellationToken cancel
    )
    {
        var labels = domain.TrimEnd('.').Split('.');
        if (labels.Length < 2 || labels.Any(l => l.Length is 0 or > 63))
        {
            return (SpfResult.None, $"'{domain}' is no domain");
        }

        var records = Told(await names.TextsAsync(domain, cancel), domain)
            .Where(SpfRecord.Is)
            .ToList();
        if (records.Count != 1)
        {
            return records.Count == 0
                ? (SpfResult.None, $"{domain} publishes no SPF record")
                : throw SpfException.Wrong($"{domain} publishes {records.Count} SPF records");
        }

        var record = SpfRecord.Read(records[0]);
        foreach (var term in record.Terms)
        {
            if (await MatchAsync(term, domain, cancel) is { } way)
            {
                return (term.Sign, way);
            }
        }

        if (record.Redirect is not { } redirect)
        {
            return (SpfResult.Neutral, "no term matches");
        }

        var text = "redirect=" + redirect;
        Count(text);
        var (result, why) = await AskAsync(macro.Expand(redirect, domain, text), cancel);
        return result == SpfResult.None
            ? throw SpfException.Wrong($"'{text}' leads to nothing: {why}")
            : (result, text + Way + why);
    }

    /// <summary>The way by which a term matches; null when it does not.</summary>
    private async Task<string?> MatchAsync(SpfTerm term, string domain, CancellationToken cancel)
    {
        if (term.Name is "all" or "ip4" or "ip6")
        {
            return term.Name == "all" || Covers(term.Network!, term) ? term.Text : null;
        }

        Count(term.Text);
        var target = term.Domain is { } named ? macro.Expand(named, domain, term.Text) : domain;
        switch (term.Name)
        {
            case "include":
                var (result, why) = await AskAsync(target, cancel);
                return result switch
                {
                    SpfResult.Pass => term.Text + Way + why,
                    SpfResult.None => throw SpfException.Wrong(
                        $"'{term.Text}' leads to nothing: {why}"
                    ),
                    _ => null,
                };
            case "exists":
                var any = await names.AddressesAsync(target, AddressFamily.InterNetwork, cancel);
                return Found(any, target, term).Count > 0 ? term.Text : null;
            case "a":
                var own = await names.AddressesAsync(target, Family, cancel);
                return Found(own, target, term).Any(a => Covers(IPAddress.Parse(a), term))
                    ? term.Text
                    : null;
            case "mx":
                return await MailServersAsync(term, target, cancel) ? term.Text : null;
            default:
                return await ReverseAsync(term, target, cancel) ? term.Text : null;
        }
    }

    private AddressFamily Family => macro.Address.AddressFamily;

    private async Task<bool> MailServersAsync(SpfTerm term, string target, CancellationToken cancel)
    {
        var servers = Found(await names.MailServersAsync(target, cancel), target, term);
        if (servers.Count > Most)
        {
            throw SpfException.Wrong($"'{term.Text}' has {servers.Count} servers, {Most} may be");
        }

        foreach (var server in servers.Where(s => s != "."))
        {
            var told = await names.AddressesAsync(server, Family, cancel);
            if (Told(told, server).Any(a => Covers(IPAddress.Parse(a), term)))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>By the names of the address; what cannot be looked up does not match (RFC 7208, 5.5).</summary>
    private async Task<bool> ReverseAsync(SpfTerm term, string target, CancellationToken cancel)
    {
        var found = await names.NamesAsync(macro.Address, cancel);
        if (found.Problem is null)
        {
            Found(found, macro.Address.ToString(), term);
        }

        foreach (var name in found.Values.Take(Most).Select(n => n.TrimEnd('.')))
        {
            var inside =
                name.Equals(target, StringComparison.OrdinalIgnoreCase)
                || name.EndsWith("." + target, StringComparison.OrdinalIgnoreCase);
            if (
                inside
                && (await names.AddressesAsync(name, Family, cancel)).Values.Any(a =>
                    IPAddress.Parse(a).Equals(macro.Address)
                )
            )
            {
                return true;
            }
        }

        return false;
    }

    private void Count(string term)
    {
        if (++_lookups > Most)
        {
            throw SpfException.Wrong(
                $"'{term}' is the lookup beyond the {Most} that receivers make"
            );
        }
    }

    /// <summary>What a term's question found; nothing too often is an error.</summary>
    private IReadOnlyList<string> Found(NameAnswer answer, string name, SpfTerm term)
    {
        var values = Told(answer, name);
        if (values.Count == 0 && ++_void > MostVoid)
        {
            throw SpfException.Wrong(
                $"'{term.Text}' is one lookup too many that finds nothing, and receivers stop after {MostVoid}"
            );
        }

        return values;
    }

    private static IReadOnlyList<string> Told(NameAnswer answer, string name) =>
        answer.Problem is { } problem
            ? throw new SpfException(
                SpfResult.TempError,
                $"{name} could not be looked up ({problem.TrimEnd('.')})"
            )
            : answer.Values;

    private bool Covers(IPAddress network, SpfTerm term)
    {
        if (network.AddressFamily != Family)
        {
            return false;
        }

        var bits = Family == AddressFamily.InterNetwork ? term.Bits4 : term.Bits6;
        return Prefix(network, bits).AsSpan().SequenceEqual(Prefix(macro.Address, bits));
    }

    // Host bits that are set do not matter (RFC 7208, 5.6), but IPNetwork refuses them.
    private static byte[] Prefix(IPAddress address, int bits)
    {
        var bytes = address.GetAddressBytes();
        for (var i = 0; i < bytes.Length; i++)
        {
            var kept = Math.Clamp(bits - (8 * i), 0, 8);
            bytes[i] &= (byte)(0xFF << (8 - kept));
        }

        return bytes;
    }
}
