using TurfWatch.Core;
using TurfWatch.Store.Tests.Contract;

namespace TurfWatch.Store.Tests.Postgres;

// The contract, on PostgreSQL.

public sealed class PostgresOutboxTests(PostgresCluster cluster) : OutboxContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }

    [Fact]
    public async Task The_start_of_a_worker_leaves_alone_what_the_others_hold()
    {
        var to = (await SubscribeAsync()).Subscriber;
        await FillInAllStatesAsync(to);

        await RestartAsync();

        var states = await StatesAsync();
        Assert.Equal(OutboxState.Claimed, states["claimed"]);
        Assert.Equal(OutboxState.Sending, states["sending"]);
    }
}

public sealed class PostgresHoldTests(PostgresCluster cluster) : HoldContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresSubscribersTests(PostgresCluster cluster) : SubscribersContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresDueMorningsTests(PostgresCluster cluster) : DueMorningsContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresWeatherTests(PostgresCluster cluster) : WeatherContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresClimatesTests(PostgresCluster cluster) : ClimatesContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresSeasonTests(PostgresCluster cluster) : SeasonContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresDeedsTests(PostgresCluster cluster) : DeedsContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresJoinsTests(PostgresCluster cluster) : JoinsContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresLeasesTests(PostgresCluster cluster) : LeasesContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}

public sealed class PostgresFetchesTests(PostgresCluster cluster) : FetchesContract
{
    private PostgresHome? _home;

    public override async ValueTask DisposeAsync()
    {
        await base.DisposeAsync();
        await (_home?.DisposeAsync() ?? default);
    }

    protected override async Task<TurfStore> OpenAsync()
    {
        _home ??= await cluster.NewHomeAsync(Cancellation);
        return await _home.OpenWithOneClockAsync(Time, Cancellation);
    }
}
