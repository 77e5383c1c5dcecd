using System.Collections.Immutable;
using System.Data.Common;
using Dapper;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Store;

/// <summary>
/// The kept weather of the cells: 24 hours to a row, in layers by kind of origin. A newer save of the same
/// kind stands over an older one, value by value; measured stands over analysed, analysed over forecast.
/// </summary>
public sealed class WeatherHours
{
    private const double WindHeightM = 10;
    private static readonly HourKind[] Layers =
    [
        HourKind.Forecast,
        HourKind.Analysed,
        HourKind.Measured,
    ];

    private readonly IDatabase _database;

    internal WeatherHours(IDatabase database) => _database = database;

    /// <summary>Keeps the hours, and the warnings and notes as the cell's latest. The cell must be stored.</summary>
    /// <exception cref="ArgumentException">The wind is not at 10 m.</exception>
    public Task SaveAsync(string cellId, CellWeather weather, CancellationToken cancellation)
    {
        RequireWindHeight(weather.Hours);
        return _database.WriteAsync(
            t =>
            {
                SaveHours(t, cellId, weather.Hours);
                t.Connection!.Execute(
                    "UPDATE cell SET outlook = @outlook, outlook_at = @now WHERE id = @cellId",
                    new
                    {
                        cellId,
                        outlook = NounJson.Write(new Outlook(weather.Hazards, weather.Notes)),
                        now = Stored.Ms(_database.Now),
                    },
                    t
                );
            },
            cancellation
        );
    }

    /// <summary>Keeps hours only.</summary>
    /// <exception cref="ArgumentException">The wind is not at 10 m.</exception>
    public Task SaveAsync(string cellId, WeatherSeries hours, CancellationToken cancellation)
    {
        RequireWindHeight(hours);
        return _database.WriteAsync(t => SaveHours(t, cellId, hours), cancellation);
    }

    /// <summary>
    /// The kept hours that end in [<paramref name="from"/>, <paramref name="to"/>], from the first known to
    /// the last known, with the warnings and notes of the last fetch. A kept day that is damaged counts as missing,
    /// and a note says so (<see cref="DataNote.Day"/>).
    /// </summary>
    public Task<CellWeather> LoadAsync(
        string cellId,
        Instant from,
        Instant to,
        CancellationToken cancellation
    ) =>
        _database.ReadAsync(
            c =>
            {
                var (hours, lost) = LoadHours(c, cellId, from, to);
                var json = c.QuerySingleOrDefault<string>(
                    "SELECT outlook FROM cell WHERE id = @cellId",
                    new { cellId }
                );
                var outlook = json is null ? Outlook.None : NounJson.Read<Outlook>(json);
                return new CellWeather(
                    hours,
                    outlook.Hazards,
                    [.. outlook.Notes.Concat(lost).DistinctBy(n => (n.Subject, n.Day))]
                );
            },
            cancellation
        );

    /// <summary>Drops what is damaged of a cell, so that it is as if it had never been kept; returns what was wrong with each.</summary>
    public Task<List<string>> DropDamagedAsync(string cellId, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
            {
                var dropped = new List<string>();
                var rows = t.Connection!.Query<(long Day, long Kind, byte[] Hours)>(
                    "SELECT day, kind, hours FROM weather_day WHERE cell_id = @cellId ORDER BY day, kind",
                    new { cellId },
                    t
                );
                foreach (var (day, kind, blob) in rows.ToList())
                {
                    if (Unpacked(blob, day, out var why) is not null)
                    {
                        continue;
                    }

                    t.Connection!.Execute(
                        "DELETE FROM weather_day WHERE cell_id = @cellId AND day = @day AND kind = @kind",
                        new
                        {
                            cellId,
                            day,
                            kind,
                        },
                        t
                    );
                    dropped.Add($"{(HourKind)kind} {why}");
                }

                return dropped;
            },
            cancellation
        );

    /// <summary>Drops the days that ended before <paramref name="before"/>; returns how many rows.</summary>
    public Task<int> PruneAsync(Instant before, CancellationToken cancellation) =>
        _database.WriteAsync(
            t =>
                t.Connection!.Execute(
                    "DELETE FROM weather_day WHERE day < @day",
                    new { day = DayOf(before) },
                    t
                ),
            cancellation
        );

    private void SaveHours(DbTransaction t, string cellId, WeatherSeries hours)
    {
        if (hours.Count == 0)
        {
            return;
        }

        // What is kept is read, merged and written back: one at a time for a cell.
        t.Connection!.Execute(
            $"SELECT id FROM cell WHERE id = @cellId {_database.Dialect.ForUpdate}",
            new { cellId },
            t
        );
        foreach (var kind in Layers)
        {
            for (var day = DayOf(hours.FirstHourEnd); day <= DayOf(hours.LastHourEnd); day++)
            {
                if (OfKind(hours, kind, StartOf(day)) is { } fresh)
                {
                    SaveDay(t, cellId, day, kind, fresh);
                }
            }
        }
    }

    private static void SaveDay(
        DbTransaction t,
        string cellId,
        long day,
        HourKind kind,
        WeatherSeries fresh
    )
    {
        var key = new
        {
            cellId,
            day,
            kind = (int)kind,
        };
        var kept = t.Connection!.QuerySingleOrDefault<byte[]>(
            "SELECT hours FROM weather_day WHERE cell_id = @cellId AND day = @day AND kind = @kind",
            key,
            t
        );
        // What is damaged is lost already: the fresh hours take its place.
        var merged =
            kept is not null && Unpacked(kept, day, out _) is { } old ? fresh.Over(old) : fresh;
        t.Connection!.Execute(
            """
            INSERT INTO weather_day (cell_id, day, kind, hours) VALUES (@cellId, @day, @kind, @hours)
            ON CONFLICT (cell_id, day, kind) DO UPDATE SET hours = excluded.hours
            """,
            new
            {
                key.cellId,
                key.day,
                key.kind,
                hours = WeatherDayBlob.Pack(merged, StartOf(day)),
            },
            t
        );
    }

    /// <summary>The hours of one kind in one day, or null when there is none.</summary>
    private static WeatherSeries? OfKind(WeatherSeries hours, HourKind kind, Instant start)
    {
        var builder = new WeatherSeriesBuilder(start, WeatherDayBlob.HoursPerDay, WindHeightM);
        var any = false;
        for (var h = 0; h < WeatherDayBlob.HoursPerDay; h++)
        {
            var i = hours.IndexOf(start) + h;
            if (i < 0 || i >= hours.Count || hours.Origins[i].Kind != kind)
            {
                continue;
            }

            any = true;
            builder.Origins[h] = hours.Origins[i];
            foreach (var column in Enum.GetValues<WeatherColumn>())
            {
                builder[column][h] = hours[column][i];
            }
        }

        return any ? builder.Build() : null;
    }

    private (WeatherSeries Hours, List<DataNote> Lost) LoadHours(
        DbConnection c,
        string cellId,
        Instant from,
        Instant to
    )
    {
        var lost = new List<DataNote>();
        var rows = c.Query<(long Day, long Kind, byte[] Hours)>(
                """
                SELECT day, kind, hours FROM weather_day
                WHERE cell_id = @cellId AND day BETWEEN @first AND @last ORDER BY day, kind DESC
                """,
                new
                {
                    cellId,
                    first = DayOf(from),
                    last = DayOf(to),
                }
            )
            .ToList();
        if (rows.Count == 0)
        {
            return (WeatherSeries.Empty, lost);
        }

        var start = StartOf(rows[0].Day);
        var days = (int)(rows[^1].Day - rows[0].Day) + 1;
        var builder = new WeatherSeriesBuilder(
            start,
            days * WeatherDayBlob.HoursPerDay,
            WindHeightM
        );
        foreach (var (day, kind, blob) in rows)
        {
            if (Unpacked(blob, day, out _) is { } kept)
            {
                builder.Lay(kept);
            }
            else
            {
                lost.Add(Lost(day, (HourKind)kind));
            }
        }

        KeptForecast.Relabel(builder, start, _database.Now);
        return (Trim(builder.Build(), from, to), lost);
    }

    /// <summary>One kept day; null when it is damaged.</summary>
    private static WeatherSeries? Unpacked(byte[] blob, long day, out string why)
    {
        try
        {
            why = "";
            return WeatherDayBlob.Unpack(blob, StartOf(day));
        }
        catch (InvalidDataException e)
        {
            why = e.Message;
            return null;
        }
    }

    private static DataNote Lost(long day, HourKind kind) =>
        new(
            kind switch
            {
                HourKind.Forecast => DataSubject.Forecast,
                HourKind.Measured => DataSubject.Observations,
                _ => DataSubject.History,
            },
            "",
            null,
            DataStanding.Missing,
            "What was kept of this day is damaged; it is fetched again"
        )
        {
            Day = StartOf(day).InUtc().Date,
        };

    private static WeatherSeries Trim(WeatherSeries hours, Instant from, Instant to)
    {
        var cut = hours.Slice(from, to);
        var first = 0;
        var last = cut.Count - 1;
        while (first <= last && cut.Origins[first].Kind == HourKind.Missing)
        {
            first++;
        }

        while (last >= first && cut.Origins[last].Kind == HourKind.Missing)
        {
            last--;
        }

        return last < first
            ? WeatherSeries.Empty
            : cut.Slice(cut.HourEnd(first), cut.HourEnd(last));
    }

    private static void RequireWindHeight(WeatherSeries hours)
    {
        if (hours.WindHeightM != WindHeightM)
        {
            throw new ArgumentException(
                $"wind at {hours.WindHeightM} m cannot be kept; bring it to {WindHeightM} m first",
                nameof(hours)
            );
        }
    }

    private static long DayOf(Instant hourEnd) =>
        (long)Math.Floor(hourEnd.ToUnixTimeSeconds() / 86_400.0);

    private static Instant StartOf(long day) => Instant.FromUnixTimeSeconds(day * 86_400);

    private sealed record Outlook(ImmutableArray<Hazard> Hazards, ImmutableArray<DataNote> Notes)
    {
        public static readonly Outlook None = new([], []);
    }
}
