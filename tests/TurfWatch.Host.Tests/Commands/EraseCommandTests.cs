using System.Text.Json;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Tests.Backups;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>A person's data by command: taken out, and erased to the last byte (R35).</summary>
public sealed class EraseCommandTests : IDisposable
{
    private const string Address = "p1@example.com";

    private readonly OperatorBench _bench = new();

    private static CancellationToken Cancel => OperatorBench.Cancel;

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task An_erased_address_is_in_no_file_of_the_data_folder_though_a_service_has_it_open()
    {
        await _bench.FillAsync();
        await using var service = await _bench.OpenAsync();
        // One message was written to the mail folder, one refused with the address in the answer.
        var claimed = await service.Outbox.ClaimAsync(
            "w",
            9,
            NodaTime.Duration.FromHours(1),
            Cancel
        );
        var mine = claimed.Single(m => m.Recipient == Address);
        await new FolderTransport(Path.Combine(_bench.Data, "mail")).SendAsync(mine, Cancel);
        await service.Outbox.BeginSendingAsync(mine, NodaTime.Duration.FromHours(1), Cancel);
        await service.Outbox.CompleteAsync(
            mine,
            OutboxOutcome.Refused($"550 5.7.1 <{Address}> refused"),
            Cancel
        );
        Assert.True(InAnyFile(Address));

        await _bench.DoneAsync($"erase --email {Address} --yes");

        Assert.False(InAnyFile(Address));
        Assert.Equal(2, (await service.Subscribers.ListAsync(Cancel).ToListAsync(Cancel)).Count);
        Assert.True(InAnyFile("p0@example.com"));
        Assert.Contains(
            "of which nothing is held; ",
            await _bench.RefusedAsync($"erase --email {Address} --yes"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Of_an_address_that_is_never_to_be_written_to_a_mark_alone_is_left()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync($"erase --email {Address} --yes --never-again");
        Assert.False(InAnyFile(Address));
        Assert.Contains(
            "nothing is held but a mark",
            await _bench.RefusedAsync($"export --email {Address} --to x.json"),
            StringComparison.Ordinal
        );
        Assert.False(File.Exists(_bench.PathOf("x.json")));
    }

    [Theory]
    [InlineData("P1@example.com", 0)]
    [InlineData("p2@example.com", 2)]
    [InlineData(null, 2)]
    public async Task Erasing_asks_for_the_address_once_more(string? typed, int exit)
    {
        await _bench.FillAsync();
        await using var output = new StringWriter();
        await using var error = new StringWriter();
        var config = Path.Combine(_bench.Folder, "typed.json");
        await File.WriteAllTextAsync(
            config,
            $$"""{ "Store": { "DataDirectory": "{{_bench.Data}}" } }""",
            Cancel
        );
        var terminal = new Terminal(output, error, Interactive: true, _bench.Time, _bench.Folder)
        {
            In = typed is null ? null : new StringReader(typed + "\n"),
        };
        Assert.Equal(
            exit,
            await TurfWatchCommand.RunAsync(
                ["erase", "--email", Address, "--config", config],
                terminal,
                Cancel
            )
        );
        await using var store = await _bench.OpenAsync();
        Assert.Equal(exit == 0, await store.Subscribers.FindAsync(Address, Cancel) is null);
    }

    [Fact]
    public async Task All_that_is_held_is_written_into_a_file_of_ones_own()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync($"export --email {Address} --to p1.json");
        using var json = JsonDocument.Parse(
            await File.ReadAllTextAsync(_bench.PathOf("p1.json"), Cancel)
        );
        Assert.Equal(Address, json.RootElement.GetProperty("Email").GetString());
        Assert.Equal(1, json.RootElement.GetProperty("Messages").GetArrayLength());
        Assert.Equal(
            UnixFileMode.UserRead | UnixFileMode.UserWrite,
            File.GetUnixFileMode(_bench.PathOf("p1.json"))
        );
        await _bench.DoneAsync($"export --email {Address} --to p1.csv");
        Assert.Contains(
            "2026-11-20",
            await File.ReadAllTextAsync(_bench.PathOf("p1.csv"), Cancel),
            StringComparison.Ordinal
        );
        Assert.Contains(
            "is there already",
            await _bench.RefusedAsync($"export --email {Address} --to p1.csv"),
            StringComparison.Ordinal
        );
    }

    /// <summary>
    /// Whether any file in or under the data folder holds a text, in letters of any case. Another process reads them: if this one
    /// opened and closed the database file, SQLite would lose its locks on it.
    /// </summary>
    private bool InAnyFile(string text) =>
        Processes.Run("grep", "-raiqF", "-e", text, _bench.Data) switch
        {
            0 => true,
            1 => false,
            var trouble => throw new InvalidOperationException($"grep ended with {trouble}"),
        };
}
