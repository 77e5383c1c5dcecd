using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>A form that was sent behind a lawn's link, unread, and what it is answered with.</summary>
/// <param name="Token">The link's token.</param>
/// <param name="Context">The request.</param>
/// <param name="Tokens">Reads and gives out tokens.</param>
/// <param name="Store">Where the lawn is.</param>
/// <param name="Clock">The time.</param>
/// <param name="Cancel">Cancelled when the sender has gone.</param>
internal sealed record LawnPost(
    string Token,
    HttpContext Context,
    LinkTokens Tokens,
    TurfStore Store,
    TimeProvider Clock,
    CancellationToken Cancel
)
{
    /// <summary>As the routes of <c>/lawn/{token}</c> hand it to their methods.</summary>
    public static ValueTask<LawnPost?> BindAsync(HttpContext context)
    {
        var services = context.RequestServices;
        return new(
            new LawnPost(
                (string)context.GetRouteValue("token")!,
                context,
                services.GetRequiredService<LinkTokens>(),
                services.GetRequiredService<TurfStore>(),
                services.GetRequiredService<TimeProvider>(),
                context.RequestAborted
            )
        );
    }
}

/// <summary>What a form behind a lawn's link brings along.</summary>
/// <param name="Owned">The lawn.</param>
/// <param name="Typed">What was typed, by field.</param>
/// <param name="Id">The number that makes it one deed, however often it is sent.</param>
/// <param name="Now">When it came.</param>
internal sealed record LawnForm(
    OwnedLawn Owned,
    Dictionary<string, string> Typed,
    long Id,
    Instant Now
)
{
    /// <summary>The local time at the lawn.</summary>
    public LocalDateTime Local => Now.InZone(Owned.Lawn.Place.Zone).LocalDateTime;

    /// <summary>The form; or the page for whoever sends one that is not whole, too old, or behind a link that opens nothing.</summary>
    public static async Task<(LawnForm? Form, IResult? Refused)> ReadAsync(LawnPost post)
    {
        var (token, context, tokens, store, clock, cancel) = post;
        var now = LawnPages.Now(clock);
        if (await LawnPages.Find(token, tokens, store, now, cancel) is not { } owned)
        {
            return (null, Page.NotFound());
        }

        var typed = await JoinPages.Typed(context.Request, cancel);
        var once = typed.GetValueOrDefault("once", "");
        return tokens.TryRead(LinkPurpose.LawnForm, once, now, out var id)
            ? (new(owned, typed, id, now), null)
            : (null, LawnPages.OldForm(token));
    }
}
