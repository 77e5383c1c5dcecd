using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <summary>One server that asks for a password, for all tests of a class.</summary>
public sealed class LockedServer : IAsyncDisposable
{
    public const string Password = "gatekeeper-4711";

    private PostgresServer? _server;

    public async Task<PostgresServer> GetAsync() =>
        _server ??= await PostgresServer.StartAsync(
            TestContext.Current.CancellationToken,
            password: Password
        );

    public ValueTask DisposeAsync() => _server?.DisposeAsync() ?? ValueTask.CompletedTask;
}
