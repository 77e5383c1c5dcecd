using System.Net;
using System.Net.Sockets;
using DnsClient;

namespace TurfWatch.Host.Commands;

/// <summary>What a name server answered: texts, or why it did not. No such name is an answer without texts.</summary>
internal sealed record NameAnswer(IReadOnlyList<string> Values, string? Problem);

/// <summary>Asks the DNS; nothing is kept, so that a record that was mended a minute ago is seen.</summary>
internal sealed class NameServer(LookupClientOptions options)
{
    private const int Port = 53;

    /// <exception cref="MisuseException">The text is no address.</exception>
    public static NameServer Of(string? text)
    {
        if (text is null)
        {
            return new(new LookupClientOptions());
        }

        if (!IPEndPoint.TryParse(text, out var server))
        {
            throw new MisuseException(
                $"--dns is '{text}'; write the address of a name server, such as 192.0.2.53 or 127.0.0.1:5353."
            );
        }

        server.Port = server.Port == 0 ? Port : server.Port;
        return new(new LookupClientOptions(server));
    }

    public async Task<NameAnswer> TextsAsync(string name, CancellationToken cancel) =>
        await AskAsync(
            name,
            QueryType.TXT,
            // One record may be cut into several strings (RFC 7208, 3.3).
            answer => answer.Answers.TxtRecords().Select(t => string.Concat(t.Text)),
            cancel
        );

    /// <summary>Names of the servers that take mail for a domain; "." means that it takes none (RFC 7505).</summary>
    public async Task<NameAnswer> MailServersAsync(string domain, CancellationToken cancel) =>
        await AskAsync(
            domain,
            QueryType.MX,
            answer => answer.Answers.MxRecords().Select(m => m.Exchange.Value),
            cancel
        );

    public async Task<NameAnswer> AddressesAsync(string name, CancellationToken cancel)
    {
        if (IPAddress.TryParse(name, out var itself))
        {
            return new([itself.ToString()], null);
        }

        var four = await AddressesAsync(name, AddressFamily.InterNetwork, cancel);
        var six = await AddressesAsync(name, AddressFamily.InterNetworkV6, cancel);
        return new([.. four.Values, .. six.Values], four.Problem ?? six.Problem);
    }

    /// <summary>The addresses of one family that a name has.</summary>
    public Task<NameAnswer> AddressesAsync(
        string name,
        AddressFamily family,
        CancellationToken cancel
    ) =>
        AskAsync(
            name,
            family == AddressFamily.InterNetwork ? QueryType.A : QueryType.AAAA,
            answer => answer.Answers.AddressRecords().Select(a => a.Address.ToString()),
            cancel
        );

    /// <summary>The names (PTR) of an address.</summary>
    public Task<NameAnswer> NamesAsync(IPAddress address, CancellationToken cancel) =>
        AskAsync(
            address.GetArpaName(),
            QueryType.PTR,
            answer => answer.Answers.PtrRecords().Select(p => p.PtrDomainName.Value),
            cancel
        );

    private async Task<NameAnswer> AskAsync(
        string name,
        QueryType type,
        Func<IDnsQueryResponse, IEnumerable<string>> read,
        CancellationToken cancel
    )
    {
        try
        {
            options.UseCache = false;
            options.Timeout = TimeSpan.FromSeconds(3);
            options.Retries = 1;
            var answer = await new LookupClient(options).QueryAsync(
                name,
                type,
                cancellationToken: cancel
            );
            return
                answer.HasError
                && answer.Header.ResponseCode != DnsHeaderResponseCode.NotExistentDomain
                ? new([], answer.ErrorMessage)
                : new([.. read(answer)], null);
        }
        catch (Exception e)
            when (e
                    is DnsResponseException
                        or SocketException
                        or InvalidOperationException
                        or ArgumentException
                || (e is OperationCanceledException && !cancel.IsCancellationRequested)
            )
        {
            return new([], e.InnerException?.Message ?? e.Message);
        }
    }
}
