using TurfWatch.Store;

namespace TurfWatch.Host.Web;

/// <summary>What all routes of pages have in common.</summary>
internal static partial class PageRoutes
{
    /// <summary>The methods that change nothing.</summary>
    public static readonly string[] Looking = [HttpMethods.Get, HttpMethods.Head];

    /// <summary>Routes whose reader is told in plain words when the store cannot be used.</summary>
    public static RouteGroupBuilder Telling(this IEndpointRouteBuilder routes)
    {
        var group = routes.MapGroup("");
        group.AddEndpointFilter(
            static async (context, next) =>
            {
                try
                {
                    return await next(context);
                }
                catch (BadHttpRequestException e)
                {
                    // Anybody can send what is too large or too slow; it is not worth a line in the log.
                    return Page.Show(
                        e.StatusCode,
                        "Nothing was done",
                        "<p role=\"alert\">What was sent is too large, or came too slowly. Please send it again.</p>"
                    );
                }
                catch (StoreException e)
                {
                    var http = context.HttpContext;
                    var log = http
                        .RequestServices.GetRequiredService<ILoggerFactory>()
                        .CreateLogger(typeof(PageRoutes));
                    // The pattern, not the path: a path holds a token.
                    NotServed(log, http.GetEndpoint()?.DisplayName ?? "", e.Message);
                    return Page.TryLater(http);
                }
            }
        );
        return group;
    }

    [LoggerMessage(LogLevel.Error, "A page cannot be served ({Route}): {Why}")]
    private static partial void NotServed(ILogger log, string route, string why);
}
