using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>A request behind a lawn's link, as every route of <c>/lawn/{token}</c> begins with it.</summary>
/// <param name="Token">The link's token.</param>
/// <param name="Context">The request.</param>
/// <param name="Tokens">Reads and gives out tokens.</param>
/// <param name="Store">Where the lawn is.</param>
/// <param name="Now">When it came.</param>
/// <param name="Cancel">Cancelled when whoever asks has gone.</param>
internal sealed record LawnLink(
    string Token,
    HttpContext Context,
    LinkTokens Tokens,
    TurfStore Store,
    Instant Now,
    CancellationToken Cancel
)
{
    /// <summary>The way back.</summary>
    public (string Path, string Words) Home => ($"/lawn/{Token}", "Back to the lawn's page");

    /// <summary>As the routes hand it to their methods. The store is not asked yet: what it says when it cannot be used is told by <see cref="PageRoutes"/>.</summary>
    public static ValueTask<LawnLink?> BindAsync(HttpContext context)
    {
        var services = context.RequestServices;
        return new(
            new LawnLink(
                (string)context.GetRouteValue("token")!,
                context,
                services.GetRequiredService<LinkTokens>(),
                services.GetRequiredService<TurfStore>(),
                LawnPages.Now(services.GetRequiredService<TimeProvider>()),
                context.RequestAborted
            )
        );
    }

    /// <summary>The lawn that the link opens; null when the token is not good (any more), or the lawn is gone.</summary>
    public async Task<OwnedLawn?> OwnedAsync() =>
        Tokens.TryRead(LinkPurpose.LawnPage, Token, Now, out var id)
            ? await Store.Lawns.FindAsync(id, Cancel)
            : null;
}
