using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary>The keys of mailed links, which all workers of one database must have in common.</summary>
internal static class SharedLinks
{
    /// <summary>Opens the key file of the data folder.</summary>
    /// <exception cref="StoreException">The other workers use other keys.</exception>
    public static async Task<LinkTokens> OpenAsync(
        StoreOptions options,
        TurfStore store,
        CancellationToken cancel
    )
    {
        var tokens = LinkTokens.Open(options.DataDirectory);
        if (options.UsesPostgres && !await store.LinkKeyIds.JoinAsync(tokens.KeyIds, cancel))
        {
            var file = Path.Combine(options.DataDirectory, LinkTokens.FileName);
            throw new StoreException(
                StoreFault.CannotOpen,
                $"The key file {file} is not the one that the other workers of this database use: links from here would not work there. "
                    + "Copy theirs to this place (it is readable by its owner alone), then start again."
            );
        }

        return tokens;
    }
}
