using TurfWatch.Core;
using TurfWatch.Core.Advice.Digest;
using TurfWatch.Core.Agronomy;
using TurfWatch.Host.Jobs;
using TurfWatch.Mail;
using TurfWatch.Mail.Charts;
using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>The charts of the lawn's page as pictures. Their names follow from what they show, so a browser may keep them.</summary>
internal static class ChartPages
{
    public static void MapCharts(this IEndpointRouteBuilder routes) =>
        routes.MapMethods("/lawn/{token}/chart/{id}/{name}.png", PageRoutes.Looking, Look);

    /// <summary>A chart with its text twin below; the words alone when there is nothing to draw.</summary>
    public static string Figure(Chart chart, LawnYear year, string token, PhraseText say)
    {
        var title = Page.Encode(say.Of(chart.Title));
        var picture = ChartPictures.Of(chart, year.Lawn, year.Date);
        return $"<h3>{title}</h3>"
            + (
                picture is null
                    ? ""
                    : $"<figure><img src=\"/lawn/{Page.Encode(token)}/chart/{Page.Encode(chart.Id)}/{picture.Name}.png\" width=\"{ChartPictures.Width}\" height=\"{ChartPictures.Height}\" alt=\"Chart: {title}. The lines below say the same in words.\"></figure>"
            );
    }

    private static async Task<IResult> Look(LawnLink link, string id, string name, LawnToday today)
    {
        if (await link.OwnedAsync() is not { } owned)
        {
            return Page.NotFound();
        }

        var picture =
            ChartPictures.Kept(name) ?? await AgainAsync(owned.Lawn, id, today, link.Cancel);
        if (picture is null)
        {
            return Page.NotFound();
        }

        link.Context.Response.Headers.CacheControl = "private, max-age=86400";
        return Results.Bytes(picture.Png, "image/png");
    }

    // Drawn anew after a restart; a day later it shows what is known by then.
    private static async Task<ChartPicture?> AgainAsync(
        Lawn lawn,
        string id,
        LawnToday today,
        CancellationToken cancel
    )
    {
        var year = await today.YearAsync(lawn, cancel);
        return
            WeeklyDigest
                .Build(year, SeasonCalendar.Of(year))
                .Charts.FirstOrDefault(c => string.Equals(c.Id, id, StringComparison.Ordinal))
                is { } chart
            ? ChartPictures.Of(chart, lawn, year.Date)
            : null;
    }
}
