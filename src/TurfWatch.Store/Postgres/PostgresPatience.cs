using System.Diagnostics;

namespace TurfWatch.Store.Postgres;

/// <summary>
/// Runs a piece of work again when the server rolled it back for a reason that passes (a deadlock, a restart, too many
/// connections), after waits drawn at random, and gives up after <see cref="StoreOptions.BusyTimeout"/> with a sentence.
/// </summary>
internal sealed class PostgresPatience(StoreOptions options, string server)
{
    private static readonly TimeSpan FirstWait = TimeSpan.FromMilliseconds(20);
    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(1);

    private readonly Random _random = new();

    public async Task<T> RunAsync<T>(Func<Task<T>> work, CancellationToken cancellation)
    {
        var since = Stopwatch.GetTimestamp();
        for (var attempt = 0; ; attempt++)
        {
            try
            {
                return await work();
            }
            catch (Exception e) when (PostgresFaults.Passes(e) && InTime(since)) { }
            catch (Exception e)
            {
                var fault = PostgresFaults.Describe(e, options, server);
                if (fault is null)
                {
                    throw;
                }

                throw fault;
            }

            await Task.Delay(Wait(attempt), cancellation);
        }
    }

    private bool InTime(long since) => Stopwatch.GetElapsedTime(since) < options.BusyTimeout;

    private TimeSpan Wait(int attempt)
    {
        var most = Math.Min(
            LongestWait.TotalMilliseconds,
            FirstWait.TotalMilliseconds * Math.Pow(2, attempt)
        );
        lock (_random)
        {
            return TimeSpan.FromMilliseconds(1 + (_random.NextDouble() * most));
        }
    }
}
