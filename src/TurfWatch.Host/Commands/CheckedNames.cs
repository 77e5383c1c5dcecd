using System.Net;
using TurfWatch.Mail.Signing;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>check</c> says of the DNS records that receivers of our mail look at.</summary>
internal static class CheckedNames
{
    public static async Task<IReadOnlyList<CheckFinding>> LookAsync(
        MailPath path,
        IReadOnlyList<IPAddress> sendsFrom,
        NameServer names,
        CancellationToken cancel
    )
    {
        var from = await SendingAddresses.OfAsync(path.Relay.Host, sendsFrom, names, cancel);
        var spf = CheckedSpf.LookAsync(path, from, names, cancel);
        var reverse = CheckedReverse.LookAsync(from, names, cancel);
        var all = await Task.WhenAll(DmarcAsync(path, names, cancel), MxAsync(path, names, cancel));
        CheckFinding[] dkim = path.Dkim.Configured
            ? [await DkimAsync(path.Dkim, names, cancel)]
            : [];
        return [Signing(path), .. dkim, .. await spf, .. await reverse, .. all];
    }

    /// <summary>No answer is no verdict.</summary>
    public static CheckFinding Unasked(CheckId id, string name, string problem) =>
        new(
            id,
            CheckState.Mind,
            $"{name} could not be looked up ({problem.TrimEnd('.')}): check this machine's network, or name another server with --dns"
        );

    private static CheckFinding Signing(MailPath path) =>
        path.Signer is { } signer
            ? new(
                CheckId.Signing,
                CheckState.Well,
                $"messages are signed here as {signer}, with the key {path.Dkim.Selector}"
            )
            : new(
                CheckId.Signing,
                CheckState.Mind,
                $"messages are not signed here, so the relay must sign as {path.FromDomain} (most do, once the domain is set up there): send-test to a mailbox elsewhere and look for dkim=pass in the message's source"
            );

    private static async Task<CheckFinding> DkimAsync(
        DkimOptions options,
        NameServer names,
        CancellationToken cancel
    )
    {
        var name = DkimKey.RecordName(options);
        var texts = await names.TextsAsync(name, cancel);
        return texts.Problem is { } problem
            ? Unasked(CheckId.DnsDkim, name, problem)
            : MailRecords.Dkim(
                name,
                DkimKey.Load(options.PrivateKeyFile).RecordValue,
                texts.Values
            );
    }

    /// <summary>At the domain itself, else at the domains above it (RFC 7489, 6.6.3, with the tree walk in place of a list of suffixes).</summary>
    private static async Task<CheckFinding> DmarcAsync(
        MailPath path,
        NameServer names,
        CancellationToken cancel
    )
    {
        var domain = path.FromDomain;
        while (true)
        {
            var at = "_dmarc." + domain;
            var texts = await names.TextsAsync(at, cancel);
            if (texts.Problem is { } problem)
            {
                return Unasked(CheckId.DnsDmarc, at, problem);
            }

            var above = domain[(domain.IndexOf('.', StringComparison.Ordinal) + 1)..];
            if (
                texts.Values.Any(MailRecords.IsDmarc)
                || !above.Contains('.', StringComparison.Ordinal)
            )
            {
                return MailRecords.Dmarc(path, at, texts.Values);
            }

            domain = above;
        }
    }

    private static async Task<CheckFinding> MxAsync(
        MailPath path,
        NameServer names,
        CancellationToken cancel
    )
    {
        var servers = await names.MailServersAsync(path.AnswerDomain, cancel);
        var addresses = await names.AddressesAsync(path.AnswerDomain, cancel);
        return servers.Problem is { } problem
            ? Unasked(CheckId.DnsMx, path.AnswerDomain, problem)
            : MailRecords.Mx(path.AnswerDomain, servers.Values, addresses.Values);
    }
}
