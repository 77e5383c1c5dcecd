using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class SubscribersCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public async Task An_address_is_added_listed_and_removed()
    {
        var added = await RunAsync(
            "subscribers add --email Pat+lawn@Example.org --zip 00802 --grass zoysia --time 05:30"
        );
        var listed = await RunAsync("subscribers list");
        var removed = await RunAsync("subscribers remove --email pat+lawn@example.org");
        var empty = await RunAsync("subscribers list");

        Assert.Equal(0, added.Exit);
        Assert.Contains("05:30 America/", added.Out, StringComparison.Ordinal);
        Assert.Contains("Pat+lawn@example.org  active", listed.Out, StringComparison.Ordinal);
        Assert.Contains("00802", listed.Out, StringComparison.Ordinal);
        Assert.Equal(0, removed.Exit);
        Assert.StartsWith("Nobody yet", empty.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Who_is_invited_is_asked_and_receives_nothing_else_yet()
    {
        var invited = await RunAsync(
            "subscribers invite --email neighbour@example.org --zip 85719"
        );
        Assert.True(invited.Exit == 0, invited.Error);
        var listed = await RunAsync("subscribers list");
        Assert.Contains("neighbour@example.org  pending", listed.Out, StringComparison.Ordinal);

        var wrong = await RunAsync("subscribers invite --email nobody --zip 00000");
        Assert.Equal(2, wrong.Exit);
        Assert.Contains("--email is 'nobody'", wrong.Error, StringComparison.Ordinal);
        Assert.Contains("--zip is '00000'", wrong.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_fault_in_a_section_that_the_command_does_not_use_does_not_block_it()
    {
        var config = _scratch.Write(
            "faulty.json",
            $$"""
            {
              "Weather": { "FetchTwice": true },
              "Mail": { "Smtp": { "Port": "many" }, "Sender": { "PostalAddressFile": "/no/such/file" } },
              "Store": { "DataDirectory": "{{_scratch.Folder}}/data" }
            }
            """
        );
        foreach (
            var command in new[]
            {
                "subscribers list",
                "subscribers add --email a@example.org --zip 40502 --grass tall-fescue",
                "journal list --lawn 1",
            }
        )
        {
            var answer = await Cli.RunAsync(
                _scratch,
                TimeProvider.System,
                [.. command.Split(' '), "--config", config]
            );
            Assert.True(answer.Exit == 0, answer.Error);
        }

        // Check looks at all of it: contact, unknown key, port, secret file.
        var check = await Cli.RunAsync(_scratch, TimeProvider.System, "check", "--config", config);
        Assert.Equal(2, check.Exit);
        Assert.Contains("Weather:Contact", check.Out, StringComparison.Ordinal);
        Assert.Contains("Weather:FetchTwice", check.Out, StringComparison.Ordinal);
        Assert.Contains("Mail:Smtp:Port", check.Out, StringComparison.Ordinal);
        Assert.Contains("Mail:Sender:PostalAddressFile", check.Out, StringComparison.Ordinal);

        // A section that is nobody's may be a misspelt one of theirs.
        var misspelt = _scratch.Write("misspelt.json", """{ "Stroe": { "DataDirectory": "x" } }""");
        var list = await Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            "subscribers",
            "list",
            "--config",
            misspelt
        );
        Assert.Equal(2, list.Exit);
        Assert.Contains("did you mean Store:DataDirectory", list.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_second_lawn_goes_beside_the_first_but_not_the_same_one_twice()
    {
        const string First =
            "subscribers add --email a@example.org --zip 40502 --grass tall-fescue";

        await RunAsync(First);
        var second = await RunAsync(First + " --name Back");
        var again = await RunAsync(First);
        var listed = await RunAsync("subscribers list");

        Assert.Equal(0, second.Exit);
        Assert.Equal(2, again.Exit);
        Assert.Contains("has this very lawn already", again.Error, StringComparison.Ordinal);
        Assert.Contains("'Back'", listed.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_journal_takes_amounts_in_either_unit()
    {
        await RunAsync("subscribers add --email a@example.org --zip 40502 --grass tall-fescue");
        await RunAsync("journal add --lawn 1 --what mowed --on 2025-05-01 --amount 3in");
        await RunAsync("journal add --lawn 1 --what fed --on 2025-04-01 --amount 1lb/1000sqft");
        await RunAsync(
            "journal add --lawn 1 --what soil-measured --on 2025-05-02 --time 7:30 --amount 59F"
        );
        var listed = await RunAsync("journal list --lawn 1");
        var removed = await RunAsync("journal remove --lawn 1 --entry 1");
        var missing = await RunAsync("journal remove --lawn 1 --entry 1");

        // 3 in = 7.62 cm; 1 lb/1,000 sq ft = 453.59237 g / 92.90304 m² = 4.88 g/m².
        Assert.Contains("2025-05-01  mowed          7.6 cm", listed.Out, StringComparison.Ordinal);
        Assert.Contains(
            "2025-04-01  fed            4.88 g/m2",
            listed.Out,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "2025-05-02  soil-measured  15 C at 07:30",
            listed.Out,
            StringComparison.Ordinal
        );
        Assert.Equal(0, removed.Exit);
        Assert.Equal(2, missing.Exit);
    }

    [Fact]
    public async Task Work_that_is_still_to_come_is_not_written_down()
    {
        await RunAsync("subscribers add --email a@example.org --zip 40502 --grass tall-fescue");
        var answer = await RunAsync("journal add --lawn 1 --what mowed --on 2999-01-01");

        Assert.Equal(2, answer.Exit);
        Assert.Contains("which is still to come", answer.Error, StringComparison.Ordinal);
    }

    private Task<CliAnswer> RunAsync(string line) =>
        Cli.RunAsync(
            _scratch,
            TimeProvider.System,
            [.. line.Split(' '), "--config", Cli.Config(_scratch)]
        );
}
