namespace TurfWatch.Weather.OpenMeteo;

/// <summary>Adds the key beneath the cache and the logs, so that neither ever sees it.</summary>
internal sealed class ApiKeyHandler(OpenMeteoOptions options) : DelegatingHandler
{
    protected override async Task<HttpResponseMessage> SendAsync(
        HttpRequestMessage request,
        CancellationToken cancellationToken
    )
    {
        if (options.ApiKey.Length == 0)
        {
            return await base.SendAsync(request, cancellationToken);
        }

        var plain = request.RequestUri!;
        request.RequestUri = new Uri($"{plain.AbsoluteUri}&apikey={options.ApiKey}");
        try
        {
            return await base.SendAsync(request, cancellationToken);
        }
        finally
        {
            request.RequestUri = plain; // a retry must not add it twice
        }
    }
}
