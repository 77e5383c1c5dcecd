using System.Text;
using System.Text.Json;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Join;
using TurfWatch.Host.People;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.People;

/// <summary>What is held of a person comes out whole and goes whole, wherever the schema keeps it.</summary>
public sealed class PersonalDataTests
{
    private const string Address = "Canary+lawn@canary.example.org";
    private const string LawnName = "canarygreen";

    /// <summary>
    /// Where a person's rows are found, and what of them is not in the export and why. A table that is neither here nor
    /// in <see cref="Nobodys"/> fails the test, and so does a new column that nobody thought about.
    /// </summary>
    private static readonly Dictionary<
        string,
        (string Rows, string[] Exported, string[] Left)
    > Persons = new(StringComparer.Ordinal)
    {
        ["subscriber"] = (
            "id = @id",
            ["email", "status", "status_reason", "status_at", "created_at", "paused_until"],
            ["id", "email_key"]
        ),
        ["lawn"] = (
            "subscriber_id = @id",
            ["zip", "zone_id", "profile", "created_at", "calendar"],
            // Since when mornings are owed follows from the lawn's settings and their deeds.
            ["id", "subscriber_id", "message_second", "mornings_from"]
        ),
        ["journal_entry"] = (
            "lawn_id IN (SELECT id FROM lawn WHERE subscriber_id = @id)",
            ["kind", "date", "amount", "time", "height_before", "phosphate", "potash", "grass"],
            ["id", "lawn_id"]
        ),
        ["season_plan"] = (
            "lawn_id IN (SELECT id FROM lawn WHERE subscriber_id = @id)",
            ["planned_for"],
            ["lawn_id"]
        ),
        ["deed"] = (
            "subscriber_id = @id",
            ["done_at", "undo", "undone_at"],
            ["id", "subscriber_id"]
        ),
        ["bounce"] = ("subscriber_id = @id", ["day", "weight"], ["subscriber_id"]),
        ["outbox"] = (
            // What became of a message stays on record, without a word of the person.
            "subscriber_id = @id AND (recipient <> '' OR last_reply IS NOT NULL)",
            [
                "kind",
                "key",
                "recipient",
                "message_id",
                "not_before",
                "not_after",
                "state",
                "attempts",
                "last_reply",
            ],
            [
                "id",
                "subscriber_id",
                // A key by which mail comes back: whoever reads the export must not be able to make it.
                "envelope_sender",
                "next_at",
                "lost",
                "resends",
                "fence",
                "owner",
                "lease_until",
                "created_at",
                "settled_at",
            ]
        ),
        ["outbox_content"] = (
            "outbox_id IN (SELECT id FROM outbox WHERE subscriber_id = @id)",
            ["content"],
            ["outbox_id"]
        ),
        ["join_request"] = (
            "address_hash = @asked",
            ["network", "at", "sent"],
            ["id", "address_hash"]
        ),
        ["suppression"] = ("address_hash = @marked", ["reason"], ["address_hash", "at"]),
    };

    /// <summary>Tables that hold nothing of any person, and why that is so.</summary>
    private static readonly Dictionary<string, string> Nobodys = new(StringComparer.Ordinal)
    {
        ["cell"] = "weather of a region",
        ["zip_cell"] = "which region a ZIP code lies in",
        ["weather_day"] = "weather of a region",
        ["site_state"] = "soil of a region",
        ["cell_climate"] = "climate of a region",
        ["past_soil"] = "soil of a region",
        ["year_days"] = "weather and soil of a region",
        ["inbound"] = "places in our mailbox and hashes of Message-IDs; leads to no person",
        ["lease"] = "which worker does a piece of work",
        ["outbox_hold"] = "whether and why all mail is held",
        ["fetch_due"] = "when a region's weather is asked for again",
        ["link_key"] = "ids of keys",
        ["sqlite_sequence"] = "SQLite's own counters",
    };

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Each_table_that_knows_a_person_is_exported_and_emptied_and_each_other_is_accounted_for(
        bool never
    )
    {
        await using var bench = await PeopleBench.OpenAsync();
        var id = await FillAsync(bench);
        var data = Data(bench);
        await using var file = new SqliteConnection(
            new SqliteConnectionStringBuilder
            {
                DataSource = bench.DatabasePath,
                Pooling = false,
            }.ToString()
        );
        await file.OpenAsync(Cancel);
        foreach (var table in Names(file, "SELECT name FROM sqlite_schema WHERE type = 'table'"))
        {
            Assert.True(
                Persons.ContainsKey(table) ^ Nobodys.ContainsKey(table),
                $"table {table}: say here whether it holds a person's data; if so, Dossiers exports and erases them"
            );
        }

        foreach (var (table, (_, exported, left)) in Persons)
        {
            Assert.Equal(
                Names(file, $"SELECT name FROM pragma_table_info('{table}')").Order(),
                exported.Concat(left).Order()
            );
            Assert.True(Count(file, bench, table, id) > 0, $"{table}: the test puts nothing in it");
        }

        var files = (await data.GatherAsync(id, Cancel))!;
        using var json = JsonDocument.Parse(files.Json());
        foreach (var part in new[] { "Lawns", "Deeds", "Messages", "CameBack", "RequestsToJoin" })
        {
            Assert.NotEqual(0, json.RootElement.GetProperty(part).GetArrayLength());
        }

        Assert.Equal(Address, json.RootElement.GetProperty("Email").GetString());
        Assert.Equal("a mark", json.RootElement.GetProperty("NotWrittenToBecause").GetString());
        var text = Encoding.UTF8.GetString(files.Json());
        // One word of each table and column that could be forgotten.
        foreach (
            var word in new[]
            {
                LawnName,
                "85719",
                "America/Phoenix",
                "2026-12-24",
                "5.08",
                "1.5",
                "2.5",
                "6.5",
                "06:15",
                "AnnualRyegrass",
                "2026-11-25",
                "Added",
                "2026-11-21",
                "250 taken",
                "Reply-with-words",
                "\"CalendarAddressesMade\": 3",
            }
        )
        {
            Assert.Contains(word, text, StringComparison.Ordinal);
        }

        Assert.True(await data.EraseAsync(id, never, "the owner", Cancel));
        foreach (var table in Persons.Keys.Where(t => t != "suppression"))
        {
            Assert.Equal(0, Count(file, bench, table, id));
        }

        Assert.Null(await data.GatherAsync(id, Cancel));
        Assert.False(await data.EraseAsync(id, never, "the owner", Cancel));
        foreach (var table in Persons.Keys.Concat(Nobodys.Keys))
        {
            foreach (var row in Rows(file, table))
            {
                Assert.DoesNotContain("canary", row, StringComparison.OrdinalIgnoreCase);
            }
        }
    }

    [Fact]
    public async Task No_key_of_a_message_opens_anything_from_the_export()
    {
        await using var bench = await PeopleBench.OpenAsync();
        var id = await FillAsync(bench);
        var content = (await bench.LettersAsync())
            .Select(l => l.Message.TextBody)
            .Where(t => t is not null)
            .ToList();
        // The letters do hold links; the copies of them do not.
        Assert.Contains(content, t => t!.Contains("/lawn/v2.", StringComparison.Ordinal));
        var text = Encoding.UTF8.GetString((await Data(bench).GatherAsync(id, Cancel))!.Json());
        Assert.Contains("https://lawn.example.org/lawn/…", text, StringComparison.Ordinal);
        Assert.DoesNotMatch(@"v\d\.[\w-]+\.[\w-]+\.[\w-]+", text);
        Assert.DoesNotContain("lawn+", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_name_that_is_a_formula_stays_text_in_the_table()
    {
        await using var bench = await PeopleBench.OpenAsync();
        var who = await bench.SubscribeAsync();
        foreach (
            var name in new[]
            {
                "=1+1",
                "+1",
                "-2+3",
                "@SUM(A1)",
                "\t=1",
                " =1",
                "＝1",
                "a\"b,c",
                "=HYPERLINK(\"http://example.org\",\"x\")",
            }
        )
        {
            var lawn = await bench.Store.Subscribers.AddLawnAsync(
                who.Subscriber.Id,
                who.Lawns[0] with
                {
                    Name = name,
                },
                Cancel
            );
            await bench.Store.Journal.AddAsync(
                lawn.Id,
                new(0, JournalKind.SoilMeasured, new(2026, 11, 20), -1.5),
                Cancel
            );
        }

        var files = (await Data(bench).GatherAsync(who.Subscriber.Id, Cancel))!;
        var lines = Encoding.UTF8.GetString(files.JournalCsv()).Split("\r\n")[1..^1];
        Assert.Equal(9, lines.Length);
        Assert.All(
            lines,
            line =>
            {
                Assert.DoesNotMatch("^\"[\\s]*[=+\\-@＝]", line);
                // A number below zero stays a number.
                Assert.Contains(",-1.5,\"degC\",", line, StringComparison.Ordinal);
            }
        );
        Assert.Contains(lines, l => l.StartsWith("\"a\"\"b,c\",", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_mark_keeps_the_door_shut_and_no_mark_leaves_it_open()
    {
        foreach (var never in new[] { true, false })
        {
            await using var bench = await PeopleBench.OpenAsync();
            var who = await bench.SubscribeAsync();
            await Data(bench).EraseAsync(who.Subscriber.Id, never, "the owner", Cancel);
            await bench.Joins.AskAsync(
                "ann@example.com",
                who.Lawns[0],
                JoinDesk.ByMail,
                null,
                Cancel
            );
            Assert.Equal(never ? 0 : 1, (await bench.LettersAsync()).Count);
        }
    }

    private static PersonalData Data(PeopleBench bench) =>
        new(
            bench.Store,
            bench.Tokens,
            MailRoute.Of(new(), new(), new()),
            bench.Time,
            NullLogger<PersonalData>.Instance
        );

    /// <summary>A person of whom every table that can knows something.</summary>
    private static async Task<long> FillAsync(PeopleBench bench)
    {
        var lawn = (await bench.SubscribeAsync()).Lawns[0] with { Name = LawnName };
        await bench.Joins.AskAsync(Address, lawn, JoinDesk.ByMail, null, Cancel);
        var id = (await bench.Store.Subscribers.FindAsync(Address, Cancel))!.Subscriber.Id;
        Assert.True(await bench.Joins.ConfirmAsync(id, null, Cancel));
        // Confirming forgets the requests; this one is made again.
        await bench.Joins.AskAsync(Address, lawn, JoinDesk.ByMail, null, Cancel);
        lawn = (await bench.Store.Subscribers.OfAsync(id, Cancel))!.Lawns[0];
        for (var i = 0; i < 3; i++)
        {
            await bench.Store.Lawns.RenewCalendarAsync(lawn.Id, Cancel);
        }

        await bench.Store.Deeds.DoAsync(
            new()
            {
                Id = 1,
                SubscriberId = id,
                LawnId = lawn.Id,
                Changed = lawn with { MowingHeightCm = 4 },
                PausedUntil = new(2026, 12, 24),
                Adds =
                [
                    new(0, JournalKind.Mowed, new(2026, 11, 20), 5.08) { HeightBeforeCm = 6.5 },
                    new(0, JournalKind.Fed, new(2026, 11, 20), 3)
                    {
                        PhosphateGM2 = 1.5,
                        PotashGM2 = 2.5,
                    },
                    new(0, JournalKind.SoilMeasured, new(2026, 11, 20), 11, new LocalTime(6, 15)),
                    new(0, JournalKind.Seeded, new(2026, 11, 20), 30)
                    {
                        Grass = GrassKind.AnnualRyegrass,
                    },
                ],
            },
            Cancel
        );
        await bench.Store.SeasonPlans.CommitAsync(
            new(
                new(id, Address, SubscriberStatus.Active),
                lawn,
                new(2026, 11, 21),
                bench.Now,
                bench.Now
            ),
            [],
            Cancel
        );
        await bench.Store.Bounces.CountAsync(id, new(2026, 11, 25), 0.5, new(2026, 1, 1), Cancel);
        var (asked, marked) = Hashes(bench);
        Assert.NotEmpty(asked);
        await bench.Store.Suppressions.AddAsync(marked, "a mark", Cancel);
        var claimed = await bench.Store.Outbox.ClaimAsync(
            "test",
            1,
            Duration.FromMinutes(5),
            Cancel
        );
        await bench.Store.Outbox.BeginSendingAsync(claimed[0], Duration.FromMinutes(5), Cancel);
        await bench.Store.Outbox.CompleteAsync(
            claimed[0],
            OutboxOutcome.Sent("250 taken for canary@canary.example.org; Reply-with-words"),
            Cancel
        );
        return id;
    }

    private static (byte[] Asked, byte[] Marked) Hashes(PeopleBench bench) =>
        (
            Convert.FromHexString(bench.Tokens.AddressHash(AddressRule.WithoutTag(Address))),
            Convert.FromHexString(bench.Tokens.AddressHash(Address))
        );

    private static long Count(SqliteConnection file, PeopleBench bench, string table, long id)
    {
        var (asked, marked) = Hashes(bench);
        using var command = file.CreateCommand();
        command.CommandText = $"SELECT COUNT(*) FROM {table} WHERE {Persons[table].Rows}";
        command.Parameters.AddWithValue("@id", id);
        command.Parameters.AddWithValue("@asked", asked);
        command.Parameters.AddWithValue("@marked", marked);
        return (long)command.ExecuteScalar()!;
    }

    private static List<string> Names(SqliteConnection file, string query)
    {
        using var command = file.CreateCommand();
        command.CommandText = query;
        using var reader = command.ExecuteReader();
        var names = new List<string>();
        while (reader.Read())
        {
            names.Add(reader.GetString(0));
        }

        return names;
    }

    /// <summary>Every row as text, bytes included.</summary>
    private static IEnumerable<string> Rows(SqliteConnection file, string table)
    {
        using var command = file.CreateCommand();
        command.CommandText = $"SELECT * FROM {table}";
        using var reader = command.ExecuteReader();
        while (reader.Read())
        {
            yield return string.Join(
                '|',
                Enumerable
                    .Range(0, reader.FieldCount)
                    .Select(i =>
                        reader.GetValue(i) is byte[] bytes
                            ? Encoding.Latin1.GetString(bytes)
                            : reader.GetValue(i).ToString()
                    )
            );
        }
    }
}
