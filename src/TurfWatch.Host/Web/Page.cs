using System.Net;
using System.Text;

namespace TurfWatch.Host.Web;

/// <summary>The frame of every page, and the pages that several routes share. No page has a script.</summary>
internal static class Page
{
    /// <summary>The one page for every link that is not good: cut short, forged, expired, or for something else.</summary>
    public static IResult NotFound() =>
        Show(
            StatusCodes.Status404NotFound,
            "There is nothing here",
            """
            <p>The link was cut short or changed on its way, or it is too old. Open it again from the message; a link to a lawn's page is good for seven days, and any message can be answered with: settings.</p>
            <p>To stop the messages, use the link at the foot of any of them, or answer one with: stop.</p>
            """
        );

    public static IResult TryLater(HttpContext context)
    {
        context.Response.Headers.RetryAfter = "120";
        return Show(
            StatusCodes.Status503ServiceUnavailable,
            "Not done yet",
            """
            <p role="alert">The service cannot save anything at the moment, so nothing was changed. Please try again in a few minutes.</p>
            """
        );
    }

    /// <summary>A question with one button that answers it; nothing has happened yet.</summary>
    /// <param name="text">Plain text, a paragraph each.</param>
    /// <param name="action">Where the button leads.</param>
    /// <param name="links">Where else one can go, and in what words.</param>
    public static IResult Ask(
        string title,
        IEnumerable<string> text,
        string action,
        string button,
        params IEnumerable<(string Address, string Words)> links
    ) =>
        Show(
            StatusCodes.Status200OK,
            title,
            $"""
            {Paragraphs(text)}
            <form method="post" action="{Encode(action)}"><button type="submit">{Encode(
                button
            )}</button></form>
            {Links(links)}
            """
        );

    /// <summary>What was done.</summary>
    public static IResult Told(
        string title,
        IEnumerable<string> text,
        params IEnumerable<(string Address, string Words)> links
    ) =>
        Show(
            StatusCodes.Status200OK,
            title,
            $"<div role=\"status\">{Paragraphs(text)}</div>{Links(links)}"
        );

    /// <param name="title">Plain text.</param>
    /// <param name="body">HTML: whoever writes it has encoded what came from outside.</param>
    public static IResult Show(int status, string title, string body) =>
        Results.Content(
            $"""
            <!doctype html>
            <html lang="en" dir="ltr">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <meta name="color-scheme" content="light dark">
            <title>{Encode(title)}</title>
            <link rel="stylesheet" href="/style.css">
            </head>
            <body><main>
            <h1>{Encode(title)}</h1>
            {body}
            </main></body>
            </html>

            """,
            "text/html",
            Encoding.UTF8,
            status
        );

    /// <summary>Text as HTML, within elements and within quoted attributes.</summary>
    public static string Encode(string text) => WebUtility.HtmlEncode(text);

    private static string Paragraphs(IEnumerable<string> text) =>
        string.Concat(text.Select(t => $"<p>{Encode(t)}</p>"));

    private static string Links(IEnumerable<(string Address, string Words)> links) =>
        string.Concat(
            links.Select(l => $"<p><a href=\"{Encode(l.Address)}\">{Encode(l.Words)}</a></p>")
        );
}
