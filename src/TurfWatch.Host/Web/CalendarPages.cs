using System.Text;
using Microsoft.Net.Http.Headers;
using TurfWatch.Core;
using TurfWatch.Host.Calendars;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>
/// The lawn's calendar at an address of its own, which programs follow. It does not expire: it ends when its owner has
/// a new one made, for the address holds the number of the one that is good.
/// </summary>
internal static class CalendarPages
{
    private const string Ending = ".ics";
    private const int NumberBits = 20;

    public static void MapCalendar(this IEndpointRouteBuilder routes)
    {
        routes.MapMethods("/calendar/{file}", PageRoutes.Looking, Serve);
        routes.MapMethods("/lawn/{token}/calendar", PageRoutes.Looking, Look).NeedsFreshLink();
        routes.MapPost("/lawn/{token}/calendar", Renew).DisableAntiforgery().NeedsFreshLink();
    }

    /// <summary>The path of a lawn's calendar; null when its owner has none made.</summary>
    public static string? Path(OwnedLawn owned, LinkTokens tokens) =>
        owned.Calendar == 0
            ? null
            : $"calendar/{tokens.Issue(LinkPurpose.Calendar, (owned.Lawn.Id << NumberBits) | (uint)owned.Calendar)}{Ending}";

    private static async Task<IResult> Serve(
        string file,
        HttpContext context,
        LinkTokens tokens,
        TurfStore store,
        CalendarShelf shelf,
        Throttle throttle,
        TimeProvider clock,
        CancellationToken cancel
    )
    {
        if (
            !file.EndsWith(Ending, StringComparison.Ordinal)
            || !tokens.TryRead(
                LinkPurpose.Calendar,
                file[..^Ending.Length],
                LawnPages.Now(clock),
                out var id
            )
            || await store.Lawns.FindAsync(id >> NumberBits, cancel) is not { } owned
            || owned.Calendar != (id & ((1 << NumberBits) - 1))
        )
        {
            return Page.NotFound();
        }

        if (!throttle.Allows(owned.Lawn.Id))
        {
            return Throttle.TooMany(context);
        }

        var calendar = await shelf.OfAsync(owned.Lawn, cancel);
        context.Response.Headers.CacheControl = "private, max-age=3600";
        return Results.File(
            Encoding.UTF8.GetBytes(calendar.Text),
            "text/calendar; charset=utf-8",
            entityTag: new EntityTagHeaderValue(calendar.Tag)
        );
    }

    private static async Task<IResult> Look(LawnLink link, SenderOptions sender) =>
        await link.OwnedAsync() is { } owned ? Show(link, owned, sender) : Page.NotFound();

    private static async Task<IResult> Renew(LawnLink link, SenderOptions sender)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return Page.NotFound();
        }

        await link.Store.Lawns.RenewCalendarAsync(owned.Lawn.Id, CancellationToken.None);
        return Show(link, (await link.Store.Lawns.FindAsync(owned.Lawn.Id, link.Cancel))!, sender);
    }

    private static IResult Show(LawnLink link, OwnedLawn owned, SenderOptions sender)
    {
        var (token, context, tokens, _, _, _) = link;
        var path = Path(owned, tokens);
        var address = path is null ? "" : Base(context, sender) + path;
        return Page.Show(
            StatusCodes.Status200OK,
            "The lawn's calendar",
            $"""
            <p>The season's windows, the next mowing and the next feeding in your own calendar: a program that follows the address keeps up as the dates move.</p>
            {(
                path is null
                    ? "<p>No address has been made yet.</p>"
                    : $"<p><label for=\"address\">Give this address to your calendar, as one to subscribe to</label><input id=\"address\" readonly value=\"{Page.Encode(address)}\"></p><p><a href=\"/{Page.Encode(path)}\">See it as a file</a></p>"
            )}
            <form method="post" action="/lawn/{Page.Encode(token)}/calendar"><p class="send"><button type="submit">{(
                path is null ? "Make an address" : "Make a new address; this one ends"
            )}</button></p></form>
            <p class="soft">Whoever has the address sees the lawn's name and dates, nothing of you and nothing of the journal. It is good until you make a new one.</p>
            <p><a href="/lawn/{Page.Encode(token)}">Back to the lawn's page</a></p>
            """
        );
    }

    private static string Base(HttpContext context, SenderOptions sender) =>
        sender.PublicBaseUrl is { } url
            ? url.AbsoluteUri.TrimEnd('/') + "/"
            : $"{context.Request.Scheme}://{context.Request.Host}/";
}
