using NodaTime;

namespace TurfWatch.Host.Web;

/// <summary>All pages of the service.</summary>
internal static class WebPages
{
    public static void MapPages(this WebApplication app, Instant startedAt)
    {
        app.UseSecurityHeaders();
        app.MapHealth(startedAt);
        app.MapUnsubscribe();
        app.MapGet("/style.css", () => Results.Text(Page.Style, "text/css"));
        app.MapFallback(() => Page.NotFound());
    }
}
