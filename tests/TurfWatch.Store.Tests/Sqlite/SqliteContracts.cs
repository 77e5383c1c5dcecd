using TurfWatch.Store.Tests.Contract;

namespace TurfWatch.Store.Tests.Sqlite;

public sealed class SqliteOutboxTests : OutboxContract
{
    private readonly TempFolder _folder = new();

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        _folder.Dispose();
    }

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}
