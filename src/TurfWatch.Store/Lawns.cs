using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>A lawn and whose it is.</summary>
/// <param name="PausedUntil">The first local date with messages again; null when they are not paused.</param>
/// <param name="Calendar">Which of the addresses made for its calendar is good, counted from 1; 0 when none was made.</param>
public sealed record OwnedLawn(
    Subscriber Subscriber,
    Lawn Lawn,
    LocalDate? PausedUntil,
    int Calendar
);

/// <summary>Lawns by their number.</summary>
public sealed class Lawns
{
    private readonly IDatabase _database;

    internal Lawns(IDatabase database) => _database = database;

    /// <summary>A lawn and its owner, or null.</summary>
    public Task<OwnedLawn?> FindAsync(long lawnId, CancellationToken cancellation) =>
        _database.ReadAsync(
            c =>
                c.Query<LawnRow>(
                        """
                        SELECT s.id AS Id, s.email AS Email, s.status AS Status, s.paused_until AS PausedUntil,
                            l.id AS LawnId, l.profile AS Profile, l.calendar AS Calendar
                        FROM lawn AS l JOIN subscriber AS s ON s.id = l.subscriber_id WHERE l.id = @lawnId
                        """,
                        new { lawnId }
                    )
                    .Select(r => new OwnedLawn(
                        r.Noun(),
                        Read(r.LawnId, r.Profile),
                        Stored.Date(r.PausedUntil),
                        (int)r.Calendar
                    ))
                    .FirstOrDefault(),
            cancellation
        );

    /// <summary>The lawn of a row; its number is not in the profile.</summary>
    internal static Lawn Read(long id, string profile) =>
        NounJson.Read<Lawn>(profile) with
        {
            Id = id,
        };

    /// <summary>The same, or null and why the profile cannot be read.</summary>
    internal static Lawn? TryRead(long id, string profile, out string? fault) =>
        NounJson.TryRead<Lawn>(profile, out fault) is { } lawn ? lawn with { Id = id } : null;

    /// <summary>Makes another address of the lawn's calendar the good one, and ends the former.</summary>
    public Task RenewCalendarAsync(long lawnId, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                t.Connection!.Execute(
                    "UPDATE lawn SET calendar = calendar + 1 WHERE id = @lawnId",
                    new { lawnId },
                    t
                );
            },
            cancellation
        );

    /// <exception cref="ArgumentException">The lawn's zone is not a known time zone.</exception>
    internal static long Insert(DbTransaction t, long subscriberId, Lawn lawn, Instant now)
    {
        var columns = Columns(lawn);
        columns.Add("subscriberId", subscriberId);
        columns.Add("now", Stored.Ms(now));
        return t.Connection!.ExecuteScalar<long>(
            """
            INSERT INTO lawn (subscriber_id, zip, zone_id, message_second, profile, created_at, mornings_from)
            VALUES (@subscriberId, @Zip, @ZoneId, @Second, @Profile, @now, CASE WHEN @Morning THEN @now END)
            RETURNING id
            """,
            columns,
            t
        );
    }

    /// <summary>Writes the profile of a lawn that belongs to the subscriber; false when it does not.</summary>
    internal static bool Update(DbTransaction t, long subscriberId, Lawn lawn, Instant now)
    {
        var columns = Columns(lawn);
        columns.Add("subscriberId", subscriberId);
        columns.Add("now", Stored.Ms(now));
        return t.Connection!.Execute(
                """
                UPDATE lawn SET zip = @Zip, zone_id = @ZoneId, message_second = @Second, profile = @Profile,
                    mornings_from = CASE WHEN @Morning THEN COALESCE(mornings_from, @now) END
                WHERE id = @Id AND subscriber_id = @subscriberId
                """,
                columns,
                t
            ) == 1;
    }

    private static DynamicParameters Columns(Lawn lawn)
    {
        if (DateTimeZoneProviders.Tzdb.GetZoneOrNull(lawn.Place.ZoneId) is null)
        {
            throw new ArgumentException(
                $"'{lawn.Place.ZoneId}' is not a time zone; write an IANA name such as America/Chicago",
                nameof(lawn)
            );
        }

        var columns = new DynamicParameters();
        columns.Add("Id", lawn.Id);
        columns.Add("Zip", lawn.Place.Zip);
        columns.Add("ZoneId", lawn.Place.ZoneId);
        columns.Add("Second", lawn.MessageTime.TickOfDay / NodaConstants.TicksPerSecond);
        columns.Add("Morning", lawn.Morning);
        columns.Add("Profile", NounJson.Write(lawn with { Id = 0 }));
        return columns;
    }

    private sealed class LawnRow : Subscribers.SubscriberRow
    {
        public long LawnId { get; init; }

        public string Profile { get; init; } = "";

        public string? PausedUntil { get; init; }

        public long Calendar { get; init; }
    }
}
