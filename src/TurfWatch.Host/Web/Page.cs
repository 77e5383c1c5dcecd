using System.Text;

namespace TurfWatch.Host.Web;

/// <summary>The few pages of the service, whole and without scripts.</summary>
internal static class Page
{
    public const string Style = """
        :root { color-scheme: light dark; --back: #f4f6f1; --text: #1c241a; --card: #fff; --line: #c3ccbd; --act: #2a5a24; --on-act: #fff }
        @media (prefers-color-scheme: dark) { :root { --back: #151a14; --text: #e6ebe3; --card: #1e251c; --line: #48533f; --act: #a5d49b; --on-act: #10200d } }
        body { margin: 0; background: var(--back); color: var(--text); font: 1.0625rem/1.5 system-ui, sans-serif }
        main { max-width: 32rem; margin: 2rem auto; padding: 1.25rem; background: var(--card); border: 1px solid var(--line); border-radius: .5rem }
        p { text-wrap: pretty }
        main > :last-child { margin-bottom: 0 }
        h1 { font-size: 1.375rem; line-height: 1.25; margin: 0 0 .75rem }
        button { font: inherit; font-weight: 600; min-height: 3rem; padding: .5rem 1.25rem; border: 0; border-radius: .375rem; background: var(--act); color: var(--on-act); cursor: pointer }
        button:focus-visible { outline: 3px solid var(--text); outline-offset: 3px }
        @media (max-width: 34rem) { main { margin: 0; border: 0; border-radius: 0; min-height: 100vh; box-sizing: border-box } }
        """;

    public static IResult AskToLeave(string token) =>
        Show(
            StatusCodes.Status200OK,
            "Stop the lawn messages?",
            $"""
            <p>Nothing has changed yet. Press the button and no more messages are sent to the address that this link was mailed to.</p>
            <form method="post" action="{Uri.EscapeDataString(
                token
            )}"><button type="submit">Stop the messages</button></form>
            """
        );

    public static IResult HasLeft() =>
        Show(
            StatusCodes.Status200OK,
            "You will get no more messages",
            """
            <p role="status">The address that this link was mailed to is off the list. A message that was already on its way may still arrive.</p>
            <p>If this was a mistake, write to whoever runs this service; their address is at the foot of each message.</p>
            """
        );

    public static IResult NotFound() =>
        Show(
            StatusCodes.Status404NotFound,
            "There is nothing here",
            """
            <p>If you came here to stop the messages, the link was cut short or changed on its way. Open it again from the foot of a message, or answer the message and ask to be taken off.</p>
            """
        );

    public static IResult TryLater(HttpContext context)
    {
        context.Response.Headers.RetryAfter = "120";
        return Show(
            StatusCodes.Status503ServiceUnavailable,
            "Not done yet",
            """
            <p role="alert">The service cannot save anything at the moment, so you are still on the list. Please try again in a few minutes.</p>
            """
        );
    }

    private static IResult Show(int status, string title, string body) =>
        Results.Content(
            $"""
            <!doctype html>
            <html lang="en" dir="ltr">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <meta name="color-scheme" content="light dark">
            <title>{title}</title>
            <link rel="stylesheet" href="/style.css">
            </head>
            <body><main>
            <h1>{title}</h1>
            {body}
            </main></body>
            </html>

            """,
            "text/html",
            Encoding.UTF8,
            status
        );
}
