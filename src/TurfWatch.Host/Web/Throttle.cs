using System.Threading.RateLimiting;

namespace TurfWatch.Host.Web;

/// <summary>
/// Bounds what the pages that work a lawn's year out may cost whoever holds their link: so many looks a minute at one
/// lawn, whoever looks.
/// </summary>
internal sealed class Throttle : IDisposable
{
    /// <summary>Looks a minute at one lawn; people need a few, a page with its pictures takes five.</summary>
    public const int PerMinute = 120;

    private readonly PartitionedRateLimiter<long> _lawns = PartitionedRateLimiter.Create<
        long,
        long
    >(static lawnId =>
        RateLimitPartition.GetFixedWindowLimiter(
            lawnId,
            static _ => new() { PermitLimit = PerMinute, Window = TimeSpan.FromMinutes(1) }
        )
    );

    /// <summary>Whether this look at the lawn is within its measure.</summary>
    public bool Allows(long lawnId)
    {
        using var lease = _lawns.AttemptAcquire(lawnId);
        return lease.IsAcquired;
    }

    public void Dispose() => _lawns.Dispose();

    /// <summary>The answer to one look too many.</summary>
    public static IResult TooMany(HttpContext context)
    {
        context.Response.Headers.RetryAfter = "60";
        return Page.Show(
            StatusCodes.Status429TooManyRequests,
            "Too many looks at once",
            "<p role=\"alert\">This lawn's page was opened very often within a minute. Please wait a minute and open it again.</p>"
        );
    }
}
