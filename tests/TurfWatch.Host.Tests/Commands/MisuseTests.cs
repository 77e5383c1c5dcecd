using Xunit;

namespace TurfWatch.Host.Tests.Commands;

/// <summary>Each way to misuse a command ends with 2 and a sentence that says what to write instead.</summary>
public sealed class MisuseTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Theory]
    [InlineData("--zip 99999 --grass bermuda", "99999 is not a ZIP code that we know")]
    [InlineData("--zip 1234 --grass bermuda", "is not a US ZIP code")]
    [InlineData("--zip 09012 --grass bermuda", "military")]
    [InlineData("--zip 85719", "--grass is missing; write one of bermuda")]
    [InlineData("--zip 85719 --grass astroturf", "--grass is 'astroturf'; write one of")]
    [InlineData("--zip 85719 --grass bermuda --overseed zoysia", "a warm-season grass")]
    [InlineData("--zip 85719 --grass tall-fescue --overseed perennial-ryegrass", "stays green")]
    [InlineData("--zip 85719 --grass bermuda --area 5000", "write a number and its unit (sqft")]
    [InlineData("--zip 85719 --grass bermuda --height 40in", "cannot be right")]
    [InlineData("--zip 85719 --grass bermuda --time 6am", "--time is '6am'; write a time")]
    [InlineData("--zip 85719 --grass bermuda --mow-from 18:00 --mow-until 9:00", "is not before")]
    [InlineData("--zip 85719 --grass bermuda --days mon,x", "--days holds 'x'")]
    [InlineData("--zip 85719 --grass bermuda --irrigated maybe", "write yes or no")]
    [InlineData("--zip 85719 --grass bermuda --units furlongs", "write us or metric")]
    [InlineData("--zip 85719 --grass bermuda --zone Mars/Olympus", "--zone is 'Mars/Olympus'")]
    [InlineData(
        "--zip 85719 --grass bermuda --at yesterday",
        "--at is 'yesterday'; write an instant"
    )]
    [InlineData(
        "--zip 85719 --grass bermuda --kind weekly",
        "--kind is 'weekly'; write one of morning"
    )]
    [InlineData("--zip 85719 --grass bermuda --lawn nowhere.json", "cannot be read")]
    public async Task Preview_says_what_is_wrong(string args, string sentence)
    {
        var answer = await RunAsync("preview " + args);

        Assert.Equal(2, answer.Exit);
        Assert.Contains(sentence, answer.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("demo --days 0", "--days is 0; write a whole number from 1 to 366")]
    [InlineData("send-test --to pat", "--to is 'pat': An address has a name")]
    [InlineData("subscribers remove --email who@example.org", "which is not on the list")]
    [InlineData("journal list --lawn 7", "--lawn is 7, but there is no such lawn")]
    [InlineData("journal add --lawn 1 --what danced", "--what is 'danced'; write one of mowed")]
    [InlineData(
        "journal add --lawn 1 --what fed --amount 3in",
        "write a number and its unit (lb/1000sqft, g/m2)"
    )]
    [InlineData(
        "journal add --lawn 1 --what mowed --time 07:30",
        "--time is '07:30', but --what is mowed; only soil-measured takes a time of day"
    )]
    [InlineData(
        "journal add --lawn 1 --what soil-measured --amount 61F --time noon",
        "--time is 'noon'; write a time of day from 00:00 to 23:59"
    )]
    [InlineData(
        "journal add --lawn 1 --what mowed --on 1890-05-31",
        "--on is '1890-05-31', long before there was anything to write down; check the year"
    )]
    [InlineData(
        "journal add --lawn 1 --what fed --grade 24-0-11",
        "--grade is '24-0-11', but --amount is missing; write how much of the product was given"
    )]
    [InlineData(
        "journal add --lawn 1 --what fed --grade 60-60-60 --amount 4lb/1000sqft",
        "--grade is '60-60-60', whose numbers add up to 180"
    )]
    [InlineData(
        "journal add --lawn 1 --what fed --amount 12lb/1000sqft",
        "more nitrogen than any lawn takes at once; an amount of the product goes with --grade"
    )]
    [InlineData(
        "journal add --lawn 1 --what germinated --amount 3lb/1000sqft",
        "--amount is '3lb/1000sqft', but --what is germinated; only"
    )]
    [InlineData(
        "journal add --lawn 1 --what mowed --amount 3in --before 2in",
        "--before is '2in', not more than the height of cut 3in"
    )]
    [InlineData("journal add --lawn 1 --what seeded --grass rye", "--grass is 'rye'; write one of")]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --area 0sqft",
        "--area is '0sqft', which cannot be right"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --height 40in",
        "--height is '40in', which cannot be right"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --digest mon,tue",
        "--digest is 'mon,tue'; the digest comes once a week: write one day, or no"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --fertilizer 50-50-50",
        "--fertilizer is '50-50-50', whose numbers add up to 150"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --soil-test 2026-03-10,ph=11",
        "--soil-test holds ph=11; write a number from 3 to 10"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --soil-test 1890-03-10,ph=7",
        "--soil-test is '1890-03-10', long before"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --soil-test ph=7",
        "--soil-test is 'ph=7'; write one date, of the sample, and what was found"
    )]
    [InlineData(
        "outlook --zip 85719 --grass bermuda --sprinkler 9in",
        "--sprinkler is '9in'; write a number and its unit (in/h, mm/h)"
    )]
    [InlineData(
        "preview --zip 85719 --grass bermuda --kind letter",
        "--kind is 'letter'; write one"
    )]
    [InlineData("subscribers add --zip 85719", "--email")]
    [InlineData("mow", "mow")]
    public async Task Other_verbs_do_too(string args, string sentence)
    {
        var answer = await RunAsync(args + " --config " + Cli.Config(_scratch));

        Assert.Equal(2, answer.Exit);
        Assert.Contains(sentence, answer.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task All_faults_of_a_lawn_are_told_at_once()
    {
        var answer = await RunAsync("preview --zip 1 --grass moss --time noon --area big");

        Assert.Equal(4, answer.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
    }

    [Fact]
    public async Task A_configuration_with_three_faults_is_told_whole_and_ends_with_2()
    {
        var config = Cli.Config(
            _scratch,
            """
            "Jobs": { "FetchParallel": 0, "MorningLead": "soon" },
            "Web": { "Listne": "x" }
            """
        );
        var answer = await RunAsync("serve --config " + config);

        Assert.Equal(2, answer.Exit);
        Assert.Contains("has 3 faults:", answer.Error, StringComparison.Ordinal);
        Assert.Contains("Jobs:FetchParallel is 0", answer.Error, StringComparison.Ordinal);
        Assert.Contains("Jobs:MorningLead is 'soon'", answer.Error, StringComparison.Ordinal);
        Assert.Contains("did you mean Web:Listen?", answer.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("serve")]
    [InlineData("demo")]
    [InlineData("preview")]
    [InlineData("check")]
    [InlineData("send-test")]
    [InlineData("dkim-record")]
    [InlineData("subscribers add")]
    [InlineData("journal add")]
    [InlineData("backup")]
    [InlineData("restore")]
    [InlineData("move")]
    public async Task Help_shows_an_example(string verb)
    {
        var answer = await RunAsync(verb + " --help");

        Assert.Equal(0, answer.Exit);
        Assert.Contains("Example: turfwatch " + verb, answer.Out, StringComparison.Ordinal);
    }

    private Task<CliAnswer> RunAsync(string line) =>
        Cli.RunAsync(_scratch, TimeProvider.System, line.Split(' '));
}
