namespace TurfWatch.Host.Web;

/// <summary>Sets on every answer what keeps a browser from doing more than showing the page.</summary>
internal static class SecurityHeaders
{
    public static void UseSecurityHeaders(this IApplicationBuilder app) =>
        app.Use(
            static (context, next) =>
            {
                var headers = context.Response.Headers;
                headers.ContentSecurityPolicy =
                    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";
                headers.XContentTypeOptions = "nosniff";
                headers["Referrer-Policy"] = "no-referrer";
                headers["X-Robots-Tag"] = "noindex";
                headers.CacheControl = "no-store";
                if (context.Request.IsHttps)
                {
                    headers.StrictTransportSecurity = "max-age=31536000";
                }

                return next(context);
            }
        );
}
