using System.Net;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>check</c> says of the names (PTR) of the addresses that mail comes from, and whether they lead back.</summary>
internal static class CheckedReverse
{
    public static async Task<IReadOnlyList<CheckFinding>> LookAsync(
        SendingAddresses from,
        NameServer names,
        CancellationToken cancel
    ) =>
        from.All.Count == 0
            ?
            [
                Finding(
                    CheckState.Mind,
                    $"{from.Relay} has no address that we can see{(from.Problem is { } p ? $" ({p.TrimEnd('.')})" : "")}, so its name was not looked up"
                ),
            ]
            : await Task.WhenAll(from.All.Select(a => OfAsync(a, from, names, cancel)));

    private static async Task<CheckFinding> OfAsync(
        IPAddress address,
        SendingAddresses from,
        NameServer names,
        CancellationToken cancel
    )
    {
        if (SendingAddresses.IsPrivate(address))
        {
            return Finding(
                from.Known ? CheckState.Wrong : CheckState.Well,
                $"{from.Called(address)}: that is a private address, and receivers see another one; name it with {SendingAddresses.Option} to have its name looked at"
            );
        }

        var found = await names.NamesAsync(address, cancel);
        if (found.Problem is { } problem)
        {
            return CheckedNames.Unasked(CheckId.DnsPtr, address.ToString(), problem);
        }

        var called = found.Values.Select(n => n.TrimEnd('.')).ToList();
        foreach (var name in called.Take(SpfCheck.Most))
        {
            var back = await names.AddressesAsync(name, address.AddressFamily, cancel);
            if (back.Values.Any(a => IPAddress.Parse(a).Equals(address)))
            {
                return Finding(CheckState.Well, $"{address} is {name}, and {name} is {address}");
            }
        }

        var state = from.Known ? CheckState.Wrong : CheckState.Mind;
        var whether = from.Known
            ? ""
            : $". {from.Relay} may send from another address; name it with {SendingAddresses.Option}";
        return called.Count == 0
            ? Finding(
                state,
                $"{address} has no name (PTR), and many receivers take no mail from such a machine; whoever gave you the address sets it{whether}"
            )
            : Finding(
                state,
                $"{address} is called {string.Join(", ", called)}, which does not lead back to it, so receivers do not believe it; give the name that address, or the address another name{whether}"
            );
    }

    private static CheckFinding Finding(CheckState state, string says) =>
        new(CheckId.DnsPtr, state, says);
}
