using TurfWatch.Store.Tests.Contract;

namespace TurfWatch.Store.Tests.Sqlite;

// The contract, on SQLite.

public sealed class SqliteOutboxTests : OutboxContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);

    // The folder's lock proves that the former owner is gone.
    [Fact]
    public async Task A_restart_of_the_only_worker_waits_for_no_lease()
    {
        var to = (await SubscribeAsync()).Subscriber;
        await FillInAllStatesAsync(to);

        await RestartAsync();

        await AssertSettledAsync();
    }
}

public sealed class SqliteHoldTests : HoldContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteSubscribersTests : SubscribersContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteDueMorningsTests : DueMorningsContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteWeatherTests : WeatherContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteClimatesTests : ClimatesContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteSeasonTests : SeasonContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteDeedsTests : DeedsContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteJoinsTests : JoinsContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteLeasesTests : LeasesContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}

public sealed class SqliteFetchesTests : FetchesContract
{
    private readonly TempFolder _folder = new();

    public override ValueTask DisposeAsync() => _folder.DisposeAfterAsync(base.DisposeAsync());

    protected override Task<TurfStore> OpenAsync() => _folder.OpenAsync(Time, Cancellation);
}
