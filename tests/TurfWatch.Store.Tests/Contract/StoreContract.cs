using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store.Tests.Contract;

/// <summary>
/// What every kind of database must hold to. Each contract class is abstract; a kind of database derives
/// from it (see SqliteContracts) and says how a fresh store is opened.
/// </summary>
public abstract class StoreContract : IAsyncLifetime
{
    protected static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 12, 0);

    protected FakeTimeProvider Time { get; } = new(Start.ToDateTimeOffset());

    protected TurfStore Store { get; private set; } = null!;

    protected static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    protected Instant Now => Instant.FromDateTimeOffset(Time.GetUtcNow());

    public async ValueTask InitializeAsync() => Store = await OpenAsync();

    public virtual async ValueTask DisposeAsync()
    {
        await Store.DisposeAsync();
        GC.SuppressFinalize(this);
    }

    protected abstract Task<TurfStore> OpenAsync();

    /// <summary>Closes the store and opens it again, as a restart does.</summary>
    protected async Task RestartAsync()
    {
        await Store.DisposeAsync();
        Store = await OpenAsync();
    }

    protected void Advance(Duration by) => Time.Advance(by.ToTimeSpan());

    protected async Task<SubscriberLawns> SubscribeAsync(
        string email = "ann@example.com",
        Lawn? lawn = null
    ) =>
        await Store.Subscribers.AddAsync(email, lawn ?? Samples.Lawn(), Cancellation)
        ?? throw new InvalidOperationException($"{email} is there already");
}
