using System.Text;
using Microsoft.Extensions.Time.Testing;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Commands;
using TurfWatch.Mail;
using TurfWatch.Store;
using Xunit;

namespace TurfWatch.Host.Tests.Backups;

/// <summary>A store of a service, a clock, and the command line beside it.</summary>
internal sealed class OperatorBench : IDisposable
{
    public static readonly Instant Start = Instant.FromUtc(2026, 11, 29, 12, 0);

    private readonly Scratch _scratch = new();

    public FakeTimeProvider Time { get; } = new(Start.ToDateTimeOffset());

    public Instant Now => Instant.FromDateTimeOffset(Time.GetUtcNow());

    public string Folder => _scratch.Folder;

    public string Data => Path.Combine(Folder, "data");

    public static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    /// <summary>Connection string of the database when the store is not in the folder.</summary>
    public string Postgres { get; set; } = "";

    public string PasswordFile { get; set; } = "";

    public string PathOf(string name) => Path.Combine(Folder, name);

    public Task<TurfStore> OpenAsync(string? folder = null, StoreAccess access = StoreAccess.Own) =>
        TurfStore.OpenAsync(
            new()
            {
                DataDirectory = folder ?? Data,
                Postgres = Postgres,
                PostgresPasswordFile = PasswordFile,
            },
            Time,
            Cancel,
            access
        );

    /// <summary>Runs a command on the data folder.</summary>
    public Task<CliAnswer> RunAsync(string line, string? folder = null) =>
        Cli.RunAsync(_scratch, Time, [.. line.Split(' '), "--config", Config(folder ?? Data)]);

    /// <summary>A configuration file for the store.</summary>
    public string Config(string folder) =>
        _scratch.Write(
            "ops.json",
            $$"""
            {
              "Weather": { "Contact": "ops@example.org" },
              "Store": { "DataDirectory": "{{folder}}", "Postgres": "{{Postgres}}", "PostgresPasswordFile": "{{PasswordFile}}" }
            }
            """
        );

    /// <summary>Runs a command that must end well; what it said.</summary>
    public async Task<string> DoneAsync(string line, string? folder = null)
    {
        var answer = await RunAsync(line, folder);
        Assert.True(answer.Exit == 0, $"{line}: {answer.Exit} {answer.Error}");
        return answer.Out;
    }

    /// <summary>Runs a command that must be refused; why it was.</summary>
    public async Task<string> RefusedAsync(string line, int exit = 2, string? folder = null)
    {
        var answer = await RunAsync(line, folder);
        Assert.True(answer.Exit == exit, $"{line}: {answer.Exit} {answer.Out}{answer.Error}");
        return answer.Error;
    }

    /// <summary>A lawn whose mornings come at a time of day in UTC.</summary>
    public static Lawn Lawn(int hour = 13, int minute = 0) =>
        new()
        {
            Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "Etc/UTC"),
            Grass = GrassKind.Bermuda,
            MessageTime = new(hour, minute),
        };

    public static OutboxMessage Message(
        Subscriber to,
        string key,
        Instant notBefore,
        Duration window,
        MessageKind kind = MessageKind.Morning
    ) =>
        new()
        {
            SubscriberId = to.Id,
            Kind = kind,
            Key = key,
            Recipient = to.Email,
            EnvelopeSender = "bounces@example.org",
            MessageId = $"{to.Id}.{key.Replace('#', '-')}@example.org",
            NotBefore = notBefore,
            NotAfter = notBefore + window,
            Content = Encoding.ASCII.GetBytes(
                $"From: lawn@example.org\r\nTo: {to.Email}\r\nSubject: Mow from 10:00\r\n"
                    + $"Message-ID: <{to.Id}.{key.Replace('#', '-')}@example.org>\r\n\r\nDry by 10:00.\r\n"
            ),
        };

    /// <summary>Some people with lawns, journals and messages, and the keys beside them.</summary>
    public async Task FillAsync(int people = 3)
    {
        LinkTokens.Open(Data);
        await using var store = await OpenAsync();
        for (var i = 0; i < people; i++)
        {
            var who = (await store.Subscribers.AddAsync($"p{i}@example.com", Lawn(), Cancel))!;
            await store.Journal.AddAsync(
                who.Lawns[0].Id,
                new(0, JournalKind.Mowed, new(2026, 11, 20), 5),
                Cancel
            );
            await store.Outbox.EnqueueAsync(
                [Message(who.Subscriber, $"k#{i}", Now, Duration.FromHours(3))],
                Cancel
            );
        }
    }
}
