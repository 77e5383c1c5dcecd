using System.Collections.Concurrent;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace TurfWatch.Host.Tests.Telemetry;

/// <summary>Takes what is sent by OTLP over HTTP and keeps the bytes; strings stand in protobuf as they are.</summary>
internal sealed class Collector : IAsyncDisposable
{
    private readonly ConcurrentQueue<string> _bodies = new();
    private readonly WebApplication _app;

    private Collector(WebApplication app) => _app = app;

    public string Url => _app.Urls.First();

    /// <summary>All that came, each body after its path.</summary>
    public string Received => string.Join('\n', _bodies);

    public static async Task<Collector> StartAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        var app = builder.Build();
        var collector = new Collector(app);
        app.MapPost(
            "/{**path}",
            async (string path, HttpRequest request) =>
            {
                using var body = new MemoryStream();
                await request.Body.CopyToAsync(body);
                collector._bodies.Enqueue($"{path}: {Encoding.UTF8.GetString(body.ToArray())}");
                return Results.Bytes([], "application/x-protobuf");
            }
        );
        await app.StartAsync();
        return collector;
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();
}
