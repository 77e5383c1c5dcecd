using NodaTime;
using TurfWatch.Core;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

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
    public static async Task<(LawnForm? Form, IResult? Refused)> ReadAsync(LawnLink link)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return (null, Page.NotFound());
        }

        var typed = await JoinPages.Typed(link.Context.Request, link.Cancel);
        var once = typed.GetValueOrDefault("once", "");
        return link.Tokens.TryRead(LinkPurpose.LawnForm, once, link.Now, out var id)
            ? (new(owned, typed, id, link.Now), null)
            : (null, LawnPages.OldForm(link.Token));
    }
}
