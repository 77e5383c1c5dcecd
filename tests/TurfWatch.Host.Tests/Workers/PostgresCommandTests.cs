using TurfWatch.Host.Commands;
using TurfWatch.Host.Tests.Commands;
using TurfWatch.Mail;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>What an operator meets who keeps the data in PostgreSQL.</summary>
public sealed class PostgresCommandTests : IAsyncLifetime
{
    private const string Password = "gatekeeper-4711";

    private readonly Scratch _scratch = new();
    private PostgresServer _server = null!;
    private string _database = "";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        // Not durable, which check must notice.
        _server = await PostgresServer.StartAsync(Cancellation, password: Password);
        _database = await _server.NewDatabaseAsync(Cancellation);
    }

    public async ValueTask DisposeAsync()
    {
        if (_server is not null)
        {
            await _server.DisposeAsync();
        }

        _scratch.Dispose();
    }

    [Fact]
    public async Task Check_tells_how_the_server_is_and_never_the_password()
    {
        var answer = await RunAsync(["check"], Password);

        Assert.Contains(
            $"on 127.0.0.1:{_server.Port}, database {_database} lets us in",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.Matches(@"PostgreSQL \d+\.\d+", answer.Out);
        Assert.Contains("without TLS", answer.Out, StringComparison.Ordinal);
        Assert.Contains("agrees with ours", answer.Out, StringComparison.Ordinal);
        Assert.Matches(@"\d+ of 200 are open", answer.Out);
        Assert.Contains(
            "the server runs with fsync = off, full_page_writes = off, synchronous_commit = off",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(Password, answer.Out + answer.Error, StringComparison.Ordinal);
        Assert.Equal(1, answer.Exit);
    }

    [Fact]
    public async Task A_wrong_password_is_told_with_the_key_to_change_and_without_the_password()
    {
        var answer = await RunAsync(["subscribers", "list"], "gatekeeper-0815");

        Assert.NotEqual(0, answer.Exit);
        Assert.Contains("refuses the login", answer.Error, StringComparison.Ordinal);
        Assert.Contains("Store:PostgresPasswordFile", answer.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("gatekeeper", answer.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_password_in_the_connection_string_is_refused_without_repeating_it()
    {
        var answer = await RunAsync(["subscribers", "list"], null, ";Password=" + Password);

        Assert.NotEqual(0, answer.Exit);
        Assert.Contains(
            "write it into a file and name that in Store:PostgresPasswordFile",
            answer.Error,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(Password, answer.Out + answer.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Host=db.example.org", "names no Database")]
    [InlineData("Database=turfwatch", "names no Host")]
    [InlineData("Hast=db.example.org;Database=turfwatch", "cannot be read as a connection string")]
    public void Each_fault_of_the_connection_string_is_told(string text, string told)
    {
        var fault = Assert.Single(new StoreOptions { Postgres = text }.Faults());
        Assert.Contains(told, fault, StringComparison.Ordinal);
        Assert.Contains(
            "write for example \"Host=db.example.org;Database=turfwatch;Username=turfwatch\"",
            fault,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task A_worker_with_link_keys_of_its_own_is_refused_and_told_what_to_copy()
    {
        var first = Options("first");
        await using var store = await TurfStore.OpenAsync(first, TimeProvider.System, Cancellation);
        await SharedLinks.OpenAsync(first, store, Cancellation);
        var second = Options("second");

        var e = await Assert.ThrowsAsync<StoreException>(() =>
            SharedLinks.OpenAsync(second, store, Cancellation)
        );

        Assert.Contains("Copy theirs to this place", e.Message, StringComparison.Ordinal);
        File.Copy(
            Path.Combine(first.DataDirectory, LinkTokens.FileName),
            Path.Combine(second.DataDirectory, LinkTokens.FileName),
            overwrite: true
        );
        await SharedLinks.OpenAsync(second, store, Cancellation);
    }

    private StoreOptions Options(string worker) =>
        new()
        {
            DataDirectory = Path.Combine(_scratch.Folder, worker),
            Postgres = _server.ConnectionString(_database),
            PostgresPasswordFile = _scratch.Write("password", Password + "\n"),
        };

    private Task<CliAnswer> RunAsync(string[] args, string? password, string more = "")
    {
        var file = password is null ? "" : _scratch.Write("password", password + "\n");
        var config = _scratch.Write(
            "t.json",
            $$"""
            {
              "Weather": { "Contact": "ops@example.org", "Nws": { "Enabled": false }, "NasaPower": { "Enabled": false } },
              "Store": {
                "DataDirectory": "{{_scratch.Folder}}/data",
                "Postgres": "{{_server.ConnectionString(_database)}}{{more}}",
                "PostgresPasswordFile": "{{file}}"
              }
            }
            """
        );
        return Cli.RunAsync(_scratch, TimeProvider.System, [.. args, "--config", config]);
    }
}
