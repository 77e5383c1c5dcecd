using System.Net;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>check</c> says of the SPF record of the domain that refused mail returns to (RFC 7208).</summary>
internal static class CheckedSpf
{
    public static async Task<IReadOnlyList<CheckFinding>> LookAsync(
        MailPath path,
        SendingAddresses from,
        NameServer names,
        CancellationToken cancel
    )
    {
        var domain = path.ReturnDomain;
        var texts = await names.TextsAsync(domain, cancel);
        if (texts.Problem is { } problem)
        {
            return [CheckedNames.Unasked(CheckId.DnsSpf, domain, problem)];
        }

        var records = texts.Values.Where(SpfRecord.Is).ToList();
        if (Published(domain, records) is { } fault)
        {
            return [fault];
        }

        if (from.All.Count == 0)
        {
            return
            [
                Finding(
                    CheckState.Mind,
                    $"{domain} publishes '{records[0]}'; whether it covers the relay is not known, for {from.Relay} has no address that we can see: name what it sends from with {SendingAddresses.Option}"
                ),
            ];
        }

        return await Task.WhenAll(
            from.All.Select(async address =>
            {
                var macro = new SpfMacro(address, path.ReturnAddress, from.Relay);
                var verdict = await new SpfCheck(names, macro).RunAsync(domain, cancel);
                return Of(domain, records[0], address, from, verdict);
            })
        );
    }

    /// <summary>What is wrong with the record whatever the address; null when nothing is.</summary>
    private static CheckFinding? Published(string domain, List<string> records) =>
        records.Count switch
        {
            0 => Finding(
                CheckState.Mind,
                $"{domain} publishes no SPF record: ask your relay's operator which one to publish, or see docs/dns.md"
            ),
            > 1 => Finding(
                CheckState.Wrong,
                $"{domain} publishes {records.Count} SPF records, which receivers take as a mistake (RFC 7208, 4.5); make one of them"
            ),
            _ when records[0].Split(' ').Any(t => t is "all" or "+all") => Finding(
                CheckState.Wrong,
                $"{domain} lets every machine in the world send in its name ('{records[0]}'); end the record with ~all or -all"
            ),
            _ => null,
        };

    private static CheckFinding Of(
        string domain,
        string record,
        IPAddress address,
        SendingAddresses from,
        SpfVerdict verdict
    )
    {
        var publishes = $"{domain} publishes '{record}'";
        var asked = $"{verdict.Lookups} of the {SpfCheck.Most} lookups that receivers make";
        return verdict.Result switch
        {
            SpfResult.Pass => Finding(
                CheckState.Well,
                $"{publishes}, and {verdict.Why} covers {from.Called(address)}; it takes {asked}"
            ),
            SpfResult.PermError => Finding(
                CheckState.Wrong,
                $"{publishes}, which receivers cannot use (permerror): {verdict.Why}. Mend the record"
            ),
            SpfResult.TempError => CheckedNames.Unasked(CheckId.DnsSpf, domain, verdict.Why),
            _ when from.Known => Finding(
                CheckState.Wrong,
                $"{publishes}, by which mail from {address} is {Meaning(verdict)}; add the address to the record"
            ),
            _ when SendingAddresses.IsPrivate(address) => Finding(
                CheckState.Well,
                $"{publishes}. Whether that covers the machines that your relay sends from, only its operator knows, for {address} is a private address: name the public one with {SendingAddresses.Option}"
            ),
            _ => Finding(
                CheckState.Mind,
                $"{publishes}, by which mail from {address} is {Meaning(verdict)}. If {from.Relay} sends from there, add it to the record; if it sends from other machines, only its operator knows which: name one with {SendingAddresses.Option}, or look at a message received elsewhere"
            ),
        };
    }

    private static string Meaning(SpfVerdict verdict) =>
        verdict.Result switch
        {
            SpfResult.Fail => $"to be refused (fail, by {verdict.Why})",
            SpfResult.SoftFail => $"to be distrusted (softfail, by {verdict.Why})",
            _ => $"neither allowed nor refused (neutral: {verdict.Why})",
        };

    private static CheckFinding Finding(CheckState state, string says) =>
        new(CheckId.DnsSpf, state, says);
}
