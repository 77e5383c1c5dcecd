using System.Security.Authentication;

namespace TurfWatch.Host.Commands;

/// <summary>What <c>check</c> says of the public pages: the links in messages lead there.</summary>
internal static class CheckedPages
{
    public static async Task<CheckFinding> LookAsync(Uri? baseUrl, CancellationToken cancel)
    {
        if (baseUrl is null)
        {
            return Of(
                CheckState.Mind,
                "Mail:Sender:PublicBaseUrl is not set: readers can stop the messages by mail only, and large mail providers want a link"
            );
        }

        var page = new Uri(baseUrl.AbsoluteUri.TrimEnd('/') + "/health/live");
        using var http = new HttpClient { Timeout = TimeSpan.FromSeconds(10) };
        try
        {
            using var answer = await http.GetAsync(page, cancel);
            var text = await answer.Content.ReadAsStringAsync(cancel);
            return text.StartsWith("live", StringComparison.Ordinal)
                ? Of(CheckState.Well, $"{baseUrl} is https and answers")
                : Of(
                    CheckState.Mind,
                    $"{baseUrl} answers, but not as TurfWatch does ({page} gave {(int)answer.StatusCode}): does the service run, and does the web server before it pass everything on to Web:Listen?"
                );
        }
        catch (HttpRequestException e) when (e.InnerException is AuthenticationException)
        {
            return Of(
                CheckState.Wrong,
                $"{baseUrl} has no certificate that browsers trust: the links in messages frighten readers off; renew the certificate of the web server"
            );
        }
        catch (Exception e)
            when (e is HttpRequestException
                || (e is OperationCanceledException && !cancel.IsCancellationRequested)
            )
        {
            return Of(
                CheckState.Mind,
                $"{baseUrl} cannot be reached from this machine ({(e is HttpRequestException ? e.Message.TrimEnd('.') : "no answer in 10 seconds")}); try it from outside: some networks cannot reach their own public address"
            );
        }
    }

    private static CheckFinding Of(CheckState state, string says) =>
        new(CheckId.PublicPages, state, says);
}
