using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Tests.Jobs;
using TurfWatch.Store;
using TurfWatch.Testing;
using TurfWatch.Weather.Places;
using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class CheckCommandTests(ITestOutputHelper output) : IDisposable
{
    private static readonly Instant Now = Instant.FromDateTimeOffset(
        TimeProvider.System.GetUtcNow()
    );

    private readonly Scratch _scratch = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task With_everything_there_it_says_that_nothing_is_wrong()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();

        var answer = await CheckAsync(weather.Url, smtp.Port);

        Assert.Equal(0, answer.Exit);
        Assert.Contains("the relay 127.0.0.1 answers", answer.Out, StringComparison.Ordinal);
        Assert.Contains("no messages yet", answer.Out, StringComparison.Ordinal);
        Assert.Contains("OpenMeteo is not asked", answer.Out, StringComparison.Ordinal);
        Assert.Contains("ip4:127.0.0.1 covers the relay", answer.Out, StringComparison.Ordinal);
        Assert.Contains("_dmarc.example.org says", answer.Out, StringComparison.Ordinal);
        Assert.Contains("go to mx.example.net", answer.Out, StringComparison.Ordinal);
        Assert.EndsWith("Nothing is wrong.\n", answer.Out, StringComparison.Ordinal);
        Assert.Empty(smtp.Taken);
    }

    [Fact]
    public async Task With_nothing_there_it_names_each_thing_and_what_to_do()
    {
        using var empty = new NameStub();

        var answer = await CheckAsync("http://127.0.0.1:9", 9, empty);

        Assert.Equal(1, answer.Exit);
        Assert.Contains(
            "the relay 127.0.0.1:9 cannot be reached",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.Contains("Weather:Nws:BaseAddress", answer.Out, StringComparison.Ordinal);
        Assert.Contains("Weather:NasaPower:BaseAddress", answer.Out, StringComparison.Ordinal);
        Assert.Contains(
            "example.org publishes no SPF record",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.Contains("publishes no DMARC record", answer.Out, StringComparison.Ordinal);
        Assert.Contains(
            "answers and refused mail cannot arrive",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.EndsWith("4 things are wrong.\n", answer.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_waits_too_long_and_what_went_wrong_is_listed_without_an_address()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();
        await FillAsync();

        var answer = await CheckAsync(weather.Url, smtp.Port);

        Assert.Equal(0, answer.Exit);
        Assert.Contains("1 queued, 1 dead, 1 unknown", answer.Out, StringComparison.Ordinal);
        Assert.Contains("for 40 minutes", answer.Out, StringComparison.Ordinal);
        Assert.Contains("may or may not have arrived", answer.Out, StringComparison.Ordinal);
        Assert.Contains("550 5.1.1 no such user", answer.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("gone@example.com", answer.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_published_key_is_held_against_the_private_one()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();
        using var rsa = RSA.Create(2048);
        var file = _scratch.Write("dkim.pem", rsa.ExportPkcs8PrivateKeyPem());
        var record =
            $"v=DKIM1; k=rsa; p={Convert.ToBase64String(rsa.ExportSubjectPublicKeyInfo())}";
        using var right = Names().Text("lawn._domainkey.example.org", record);
        using var wrong = Names().Text("lawn._domainkey.example.org", "v=DKIM1; p=QUJD");
        var dkim =
            $", \"Dkim\": {{ \"Domain\": \"example.org\", \"Selector\": \"lawn\", \"PrivateKeyFile\": \"{file}\" }}";

        var well = await CheckAsync(weather.Url, smtp.Port, right, mail: dkim);
        var bad = await CheckAsync(weather.Url, smtp.Port, wrong, mail: dkim);

        Assert.Equal(0, well.Exit);
        Assert.Contains("has the key that belongs to ours", well.Out, StringComparison.Ordinal);
        Assert.Contains("signed by example.org", well.Out, StringComparison.Ordinal);
        Assert.Equal(1, bad.Exit);
        Assert.Contains($"publish there the TXT '{record}'", bad.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("PRIVATE", well.Out + bad.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_name_server_that_is_away_is_no_verdict_on_the_records()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();
        var gone = new NameStub();
        var address = gone.Address;
        gone.Dispose();

        var answer = await CheckAsync(weather.Url, smtp.Port, dns: address);

        Assert.Equal(0, answer.Exit);
        Assert.Contains(
            "_dmarc.example.org could not be looked up",
            answer.Out,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task As_JSON_each_finding_has_its_id_and_the_place_to_read_on()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();
        using var names = Names();

        var answer = await CheckAsync(weather.Url, smtp.Port, names, "--json");
        using var json = JsonDocument.Parse(answer.Out);
        var spf = json
            .RootElement.EnumerateArray()
            .Single(f => f.GetProperty("id").GetString() == "dns-spf");

        Assert.Equal("well", spf.GetProperty("state").GetString());
        Assert.Equal("docs/runbook.md#dns-spf", spf.GetProperty("runbook").GetString());
    }

    [Fact]
    public async Task A_name_server_that_is_no_address_is_told()
    {
        var answer = await CheckAsync("http://127.0.0.1:9", 9, dns: "my-router");

        Assert.Equal(2, answer.Exit);
        Assert.Contains(
            "--dns is 'my-router'; write the address",
            answer.Error,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task The_address_that_the_relay_sends_from_is_held_against_the_records()
    {
        using var weather = new StubWeather(ZipDirectory.Lookup("85719").Place!, Now);
        await using var smtp = FaultySmtp.Start();

        var answer = await CheckAsync(weather.Url, smtp.Port, more: "--sends-from=203.0.113.25");
        var misused = await CheckAsync(weather.Url, smtp.Port, more: "--sends-from=mail");

        Assert.Equal(1, answer.Exit);
        Assert.Contains(
            "by which mail from 203.0.113.25 is to be refused",
            answer.Out,
            StringComparison.Ordinal
        );
        Assert.Contains("203.0.113.25 has no name (PTR)", answer.Out, StringComparison.Ordinal);
        Assert.EndsWith("2 things are wrong.\n", answer.Out, StringComparison.Ordinal);
        Assert.Equal(2, misused.Exit);
        Assert.Contains(
            "--sends-from is 'mail'; write the address",
            misused.Error,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Each_finding_and_each_alert_has_an_entry_in_the_runbook_and_no_entry_is_left_over()
    {
        var page = File.ReadLines(Path.Combine(Repository.Root, "docs/runbook.md"));
        var rules = File.ReadLines(Path.Combine(Repository.Root, "deploy/alerts.yml"));

        Assert.Equal(
            Enum.GetValues<CheckId>()
                .Select(id => new CheckFinding(id, CheckState.Well, "").Name)
                .Concat(
                    rules
                        .Where(l => l.Contains("- alert: ", StringComparison.Ordinal))
                        .Select(l => l.Split(": ")[1])
                )
                .Order(StringComparer.Ordinal),
            page.Where(l => l.StartsWith("### ", StringComparison.Ordinal))
                .Select(l => l[4..])
                .Order(StringComparer.Ordinal)
        );
    }

    private static NameStub Names() =>
        new NameStub()
            .Text("example.org", "v=spf1 ip4:127.0.0.1 -all")
            .Text("example.org", "some-other=text")
            .MailServer("example.org", "mx.example.net")
            .Text("_dmarc.example.org", "v=DMARC1; p=none");

    private async Task<CliAnswer> CheckAsync(
        string weather,
        int relay,
        NameStub? names = null,
        string? more = null,
        string? dns = null,
        string mail = ""
    )
    {
        using var usual = Names();
        var config = _scratch.Write(
            "check.json",
            $$"""
            {
              "Weather": {
                "Contact": "ops@example.org",
                "Nws": { "BaseAddress": "{{weather}}" },
                "NasaPower": { "BaseAddress": "{{weather}}" }
              },
              "Mail": {
                "Smtp": { "Host": "127.0.0.1", "Port": {{relay}}, "Security": "None" },
                "Sender": {
                  "FromAddress": "lawn@example.org",
                  "PostalAddress": "1 Test Street, Testville",
                  "PublicBaseUrl": "https://lawn.example.org"
                }{{mail}}
              },
              "Store": { "DataDirectory": "{{_scratch.Folder}}/data", "MinFreeDiskMiB": 1 }
            }
            """
        );
        var answer = await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            [
                "check",
                "--config",
                config,
                "--dns",
                dns ?? (names ?? usual).Address,
                .. more is null ? Array.Empty<string>() : [more],
            ]
        );
        output.WriteLine(answer.Out + answer.Error);
        return answer;
    }

    private async Task FillAsync()
    {
        await using var store = await TurfStore.OpenAsync(
            new() { DataDirectory = Path.Combine(_scratch.Folder, "data") },
            TimeProvider.System,
            Cancellation
        );
        var lawn = new Lawn
        {
            Place = ZipDirectory.Lookup("85719").Place!,
            Grass = GrassKind.Bermuda,
        };
        foreach (var name in new[] { "gone", "lost", "late" })
        {
            var to = await store.Subscribers.AddAsync($"{name}@example.com", lawn, Cancellation);
            await store.Outbox.EnqueueAsync(
                [
                    new()
                    {
                        SubscriberId = to!.Subscriber.Id,
                        Kind = MessageKind.Morning,
                        Key = name,
                        Recipient = to.Subscriber.Email,
                        EnvelopeSender = "bounces@example.org",
                        MessageId = $"{name}@example.org",
                        NotBefore = Now - Duration.FromMinutes(40),
                        NotAfter = Now + Duration.FromHours(2),
                        Content = Encoding.ASCII.GetBytes("Subject: x\r\n\r\nx\r\n"),
                    },
                ],
                Cancellation
            );
        }

        var lease = Duration.FromMinutes(1);
        var claimed = await store.Outbox.ClaimAsync("test", 2, lease, Cancellation);
        await SettleAsync(claimed[0], OutboxOutcome.Refused("550 5.1.1 no such user"));
        await SettleAsync(claimed[1], OutboxOutcome.Unknown("the connection broke after the dot"));

        async Task SettleAsync(OutboxMessage row, OutboxOutcome outcome)
        {
            await store.Outbox.BeginSendingAsync(row, lease, Cancellation);
            Assert.True(await store.Outbox.CompleteAsync(row, outcome, Cancellation));
        }
    }
}
