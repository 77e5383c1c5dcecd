using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Jobs;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>What check finds where the links of messages lead.</summary>
public sealed class CheckedPagesTests : IDisposable
{
    private readonly Scratch _scratch = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task Our_own_pages_are_well()
    {
        await using var rig = await ServiceRig.StartAsync(_scratch, TimeProvider.System);
        await rig.SweptAsync(TimeProvider.System, JobNames.Deliver);

        var found = await CheckedPages.LookAsync(rig.Http.BaseAddress, Cancel);

        Assert.Equal(CheckState.Well, found.State);
    }

    [Fact]
    public async Task Something_else_that_answers_there_is_told()
    {
        await using var other = await ServeAsync(null);

        var found = await CheckedPages.LookAsync(new(other.Urls.First()), Cancel);

        Assert.Equal(CheckState.Mind, found.State);
        Assert.Contains("not as TurfWatch does", found.Says, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_certificate_that_nobody_trusts_is_wrong()
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest(
            "CN=localhost",
            key,
            HashAlgorithmName.SHA256,
            RSASignaturePadding.Pkcs1
        );
        var now = TimeProvider.System.GetUtcNow();
        using var own = request.CreateSelfSigned(now.AddDays(-1), now.AddDays(1));
        await using var other = await ServeAsync(own);

        var found = await CheckedPages.LookAsync(new(other.Urls.First()), Cancel);

        Assert.Equal(CheckState.Wrong, found.State);
        Assert.Contains("no certificate that browsers trust", found.Says, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Nobody_there_may_be_this_network_alone()
    {
        var found = await CheckedPages.LookAsync(new("http://127.0.0.1:9/"), Cancel);

        Assert.Equal(CheckState.Mind, found.State);
        Assert.Contains("try it from outside", found.Says, StringComparison.Ordinal);
    }

    private static async Task<WebApplication> ServeAsync(X509Certificate2? certificate)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseKestrelHttpsConfiguration();
        builder.WebHost.ConfigureKestrel(kestrel =>
            kestrel.Listen(
                IPAddress.Loopback,
                0,
                listen =>
                {
                    if (certificate is not null)
                    {
                        listen.UseHttps(certificate);
                    }
                }
            )
        );
        var app = builder.Build();
        app.MapGet("/{**path}", (string path) => $"Welcome to another server: {path}");
        await app.StartAsync(Cancel);
        return app;
    }
}
