using TurfWatch.Store.Tests.Contract;

namespace TurfWatch.Store.Tests.Sqlite;

// The contract, on SQLite. Another kind of database gets a file like this one.

public sealed class SqliteOutboxTests : OutboxContract
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
