using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Tests.Backups;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.Workers;

/// <summary>PostgreSQL on another machine: a server that lets nobody in who does not speak TLS, with a certificate for <c>localhost</c>.</summary>
public sealed class PostgresTlsTests : IAsyncLifetime
{
    private const string Password = "gatekeeper-4711";

    private readonly OperatorBench _bench = new();
    private readonly TestAuthority _authority = new();
    private PostgresServer _server = null!;
    private string _database = "";
    private string _root = "";

    private static CancellationToken Cancel => OperatorBench.Cancel;

    public async ValueTask InitializeAsync()
    {
        using var certificate = _authority.Issue("localhost", TimeSpan.FromDays(1));
        _server = await PostgresServer.StartAsync(
            Cancel,
            password: Password,
            certificate: certificate
        );
        _root = _bench.PathOf("authority.pem");
        await File.WriteAllTextAsync(_root, _authority.Pem, Cancel);
        _bench.PasswordFile = _bench.PathOf("password");
        await File.WriteAllTextAsync(_bench.PasswordFile, Password + "\n", Cancel);
        await UseNewDatabaseAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (_server is not null)
        {
            await _server.DisposeAsync();
        }

        _authority.Dispose();
        _bench.Dispose();
    }

    [Fact]
    public async Task A_worker_its_deliveries_and_the_schedule_trust_a_server_of_the_named_authority()
    {
        await _bench.FillAsync(1);
        await using (var store = await _bench.OpenAsync())
        {
            var message = Assert.Single(
                await store.Outbox.ClaimAsync("w", 9, Duration.FromMinutes(2), Cancel)
            );
            Assert.Equal(
                SendPermit.Granted,
                await store.Outbox.BeginSendingAsync(message, Duration.FromMinutes(20), Cancel)
            );
            Assert.True(
                await store.Outbox.CompleteAsync(message, OutboxOutcome.Sent("250 ok"), Cancel)
            );
        }

        await using var worker = ServeProcess.Start(
            _bench.Data,
            ("Store:Postgres", _bench.Postgres),
            ("Store:PostgresPasswordFile", _bench.PasswordFile)
        );
        await worker.UntilReadySaysAsync(text =>
            text.StartsWith("ready", StringComparison.Ordinal)
        );

        Assert.Equal("turfwatch, turfwatch schedule", await ConnectedAsync("ssl"));
        Assert.Equal("", await ConnectedAsync("NOT ssl"));
    }

    [Theory]
    [InlineData("VerifyFull", "over TLS with its certificate checked")]
    [InlineData("Require", "over TLS, its certificate unchecked")]
    public async Task Check_tells_how_well_the_way_is_protected(string mode, string told)
    {
        _bench.Postgres = _bench.Postgres.Replace("VerifyFull", mode, StringComparison.Ordinal);
        Assert.Contains(told, (await _bench.RunAsync("check")).Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_copy_is_taken_and_brought_back_over_the_same_way()
    {
        await _bench.FillAsync();
        await _bench.DoneAsync("backup --to b.tar.gz");
        await UseNewDatabaseAsync();

        var said = await _bench.DoneAsync("restore --from b.tar.gz", _bench.PathOf("second"));

        Assert.Contains("3 subscribers", said, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("another authority", "is not from the authority in ", "-CAfile /")]
    [InlineData(
        "no authority",
        "is not from an authority that this machine trusts",
        "Root Certificate in Store:Postgres names one of your own"
    )]
    [InlineData(
        "another name",
        "or not for the name 127.0.0.1 (Host)",
        "openssl s_client -starttls postgres -verify_hostname 127.0.0.1 -CAfile /"
    )]
    [InlineData("no certificate in the file", "cannot be read", "check that it is in PEM.")]
    [InlineData(
        "no TLS",
        "refuses the login (no pg_hba.conf entry",
        "Check Username and SSL Mode in Store:Postgres"
    )]
    public async Task What_does_not_fit_is_refused_at_once_and_told_with_what_to_do(
        string what,
        string told,
        string advice
    )
    {
        using var other = new TestAuthority();
        await File.WriteAllTextAsync(_bench.PathOf("other.pem"), other.Pem, Cancel);
        await File.WriteAllTextAsync(_bench.PathOf("empty.pem"), "-----BEGIN LAWN-----\n", Cancel);
        var (word, instead) = what switch
        {
            "another authority" => (_root, _bench.PathOf("other.pem")),
            "no authority" => ($"Root Certificate={_root}", ""),
            "another name" => ("localhost", "127.0.0.1"),
            "no certificate in the file" => (_root, _bench.PathOf("empty.pem")),
            _ => ("VerifyFull", "Disable"),
        };
        _bench.Postgres = _bench.Postgres.Replace(word, instead, StringComparison.Ordinal);

        var said = await _bench.RefusedAsync("subscribers list", exit: 1);

        Assert.Contains(told, said, StringComparison.Ordinal);
        Assert.Contains(advice, said, StringComparison.Ordinal);
        Assert.DoesNotContain("tries again", said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_server_without_TLS_is_refused_where_it_is_asked_for()
    {
        await using var plain = await PostgresServer.StartAsync(Cancel, password: Password);
        _bench.Postgres = _bench.Postgres.Replace(
            $"Port={_server.Port}",
            $"Port={plain.Port}",
            StringComparison.Ordinal
        );

        Assert.Contains(
            $"PostgreSQL on localhost:{plain.Port}, database {_database} speaks no TLS, which SSL Mode in Store:Postgres asks for.",
            await _bench.RefusedAsync("subscribers list", exit: 1),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task An_authority_that_is_not_there_is_a_fault_of_the_configuration()
    {
        File.Delete(_root);
        Assert.Contains(
            $"Store:Postgres names the file '{_root}', which is not there",
            await _bench.RefusedAsync("subscribers list"),
            StringComparison.Ordinal
        );
    }

    private async Task UseNewDatabaseAsync()
    {
        _database = await _server.NewDatabaseAsync(Cancel);
        _bench.Postgres =
            $"Host=localhost;Port={_server.Port};Database={_database};Username={PostgresServer.User};SSL Mode=VerifyFull;Root Certificate={_root}";
    }

    private async Task<string> ConnectedAsync(string condition) =>
        (string)
            (
                await _server.ExecuteAsync(
                    _database,
                    $"""
                    SELECT COALESCE(string_agg(DISTINCT application_name, ', ' ORDER BY application_name), '')
                    FROM pg_stat_activity JOIN pg_stat_ssl USING (pid)
                    WHERE application_name LIKE 'turfwatch%' AND datname = '{_database}' AND {condition}
                    """,
                    Cancel
                )
            )!;
}
