namespace TurfWatch.Host.Commands;

/// <summary>
/// Reads the records by which receivers judge mail (SPF has <see cref="CheckedSpf"/>). It says what is published, and no more.
/// </summary>
internal static class MailRecords
{
    /// <summary>Whether the published key is the other half of ours (RFC 6376, 3.6.1).</summary>
    /// <param name="name">Where it must be.</param>
    /// <param name="wanted">The record that belongs to our key.</param>
    /// <param name="texts">What is there.</param>
    public static CheckFinding Dkim(string name, string wanted, IReadOnlyList<string> texts)
    {
        var keys = texts.Select(Tags).Where(t => t.ContainsKey("p")).ToList();
        var ours = KeyOf(Tags(wanted));
        return keys.Count switch
        {
            0 => Dkim(
                CheckState.Wrong,
                $"{name} has no key: signed mail cannot be checked; publish there the TXT '{wanted}'"
            ),
            1 when KeyOf(keys[0]) == ours => Dkim(
                CheckState.Well,
                $"{name} has the key that belongs to ours"
            ),
            1 when KeyOf(keys[0]).Length == 0 => Dkim(
                CheckState.Wrong,
                $"the key at {name} is withdrawn (an empty p=): publish there the TXT '{wanted}', or sign with another selector"
            ),
            1 => Dkim(
                CheckState.Wrong,
                $"{name} has another key than ours, so that every signature counts as broken: publish there the TXT '{wanted}'"
            ),
            _ => Dkim(
                CheckState.Wrong,
                $"{name} has {keys.Count} keys, and which one receivers take is chance (RFC 6376, 3.6.2.2); leave one"
            ),
        };
    }

    /// <summary>DMARC (RFC 7489): what receivers do with mail that proves nothing of its sender.</summary>
    /// <param name="path">Our names.</param>
    /// <param name="at">Where the records were found.</param>
    /// <param name="texts">What was found there.</param>
    public static CheckFinding Dmarc(MailPath path, string at, IReadOnlyList<string> texts)
    {
        var signer = path.Signer;
        var records = texts.Where(IsDmarc).ToList();
        if (records.Count != 1)
        {
            return records.Count == 0
                ? Dmarc(
                    CheckState.Mind,
                    $"{path.FromDomain} publishes no DMARC record, which large providers want: publish at _dmarc.{path.FromDomain} the TXT 'v=DMARC1; p=none'"
                )
                : Dmarc(
                    CheckState.Wrong,
                    $"{at} has {records.Count} DMARC records, so receivers heed none (RFC 7489, 6.6.3); leave one"
                );
        }

        var tags = Tags(records[0]);
        if (tags.GetValueOrDefault("p", "") is not ("none" or "quarantine" or "reject"))
        {
            return Dmarc(
                CheckState.Wrong,
                $"{at} says '{records[0]}', without a p= of none, quarantine or reject; write one"
            );
        }

        var spf = Matches(tags.GetValueOrDefault("aspf", "r"), path.ReturnDomain, path.FromDomain);
        if (signer is not null)
        {
            var dkim = Matches(tags.GetValueOrDefault("adkim", "r"), signer, path.FromDomain);
            if (!dkim && !spf)
            {
                return Dmarc(
                    CheckState.Wrong,
                    $"{at} asks for an exact match ('{records[0]}'), but mail is from {path.FromDomain}, signed by {signer} and returned to {path.ReturnDomain}; drop adkim=s and aspf=s, or sign with {path.FromDomain}"
                );
            }
        }

        return Dmarc(
            CheckState.Well,
            $"{at} says '{records[0]}'; mail is from {path.FromDomain}, "
                + (signer is null ? "signed by the relay if at all" : $"signed by {signer}")
                + (
                    spf
                        ? ", and SPF counts for it"
                        : $"; SPF of {path.ReturnDomain}, where refused mail returns, does not count for it, so it all hangs on the signature"
                )
        );
    }

    /// <summary>Whether answers can arrive (RFC 5321, 5.1; RFC 7505).</summary>
    public static CheckFinding Mx(
        string domain,
        IReadOnlyList<string> servers,
        IReadOnlyList<string> addresses
    ) =>
        servers.Any(s => s == ".")
            ? new(
                CheckId.DnsMx,
                CheckState.Wrong,
                $"{domain} says that it takes no mail (a null MX): answers cannot arrive; use another Mail:Inbox:Address"
            )
        : servers.Count > 0
            ? new(
                CheckId.DnsMx,
                CheckState.Well,
                $"answers to {domain} go to {string.Join(", ", servers.Select(s => s.TrimEnd('.')))}"
            )
        : addresses.Count > 0
            ? new(
                CheckId.DnsMx,
                CheckState.Mind,
                $"{domain} has no MX record; mail goes to its own address, if something takes it there"
            )
        : new(
            CheckId.DnsMx,
            CheckState.Wrong,
            $"{domain} has neither an MX record nor an address: answers and refused mail cannot arrive"
        );

    /// <summary>The value of each tag of a record like <c>v=DMARC1; p=none</c>, names in lower case.</summary>
    public static Dictionary<string, string> Tags(string record) =>
        record
            .Split(';', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)
            .Select(t => t.Split('=', 2, StringSplitOptions.TrimEntries))
            .Where(t => t.Length == 2)
            .DistinctBy(t => t[0].ToUpperInvariant(), StringComparer.Ordinal)
            .ToDictionary(t => t[0], t => t[1], StringComparer.OrdinalIgnoreCase);

    public static bool IsDmarc(string text) =>
        text.StartsWith("v=DMARC1", StringComparison.OrdinalIgnoreCase);

    private static bool Matches(string mode, string domain, string from) =>
        mode == "s"
            ? string.Equals(domain, from, StringComparison.OrdinalIgnoreCase)
            : MailPath.Aligned(domain, from);

    // White space inside the key does not count.
    private static string KeyOf(Dictionary<string, string> tags) =>
        string.Concat(tags["p"].Where(c => !char.IsWhiteSpace(c)));

    private static CheckFinding Dkim(CheckState state, string says) =>
        new(CheckId.DnsDkim, state, says);

    private static CheckFinding Dmarc(CheckState state, string says) =>
        new(CheckId.DnsDmarc, state, says);
}
