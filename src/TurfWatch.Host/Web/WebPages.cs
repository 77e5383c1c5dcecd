using NodaTime;

namespace TurfWatch.Host.Web;

/// <summary>All pages of the service.</summary>
internal static class WebPages
{
    public static void MapPages(this WebApplication app, Instant startedAt)
    {
        app.UseKnownProxies(app.Services.GetRequiredService<WebOptions>());
        app.UseSecurityHeaders();
        app.MapHealth(startedAt);
        var pages = app.Telling();
        pages.MapUnsubscribe();
        pages.MapLinks();
        pages.MapJoin();
        pages.MapWriteDown();
        pages.MapLawn();
        pages.MapNewLine();
        pages.MapCharts();
        pages.MapEntries();
        pages.MapFresh();
        pages.MapCalendar();
        pages.MapSettings();
        pages.MapHeld();
        app.MapGet("/style.css", () => Results.Text(PageStyle.Sheet, "text/css"));
        app.MapFallback(() => Page.NotFound());
    }
}
