using Xunit;

namespace TurfWatch.Host.Tests.Commands;

public sealed class AmountCommandTests : IDisposable
{
    private readonly Scratch _scratch = new();

    public void Dispose() => _scratch.Dispose();

    // University of Nebraska-Lincoln: 28-3-6 at 1 lb on 6,000 sq ft (21.43 exact, printed 21.42). LSU AgCenter:
    // 52.08 lb of 48 % pure, 80 % live seed (printed 52.6 from a rounded share). 231 cubic inches to the gallon.
    [Theory]
    [InlineData(
        "feed --area 6000sqft --grade 28-3-6 --rate 1lb/1000sqft",
        "21.43 lb (3.571 lb per"
    )]
    [InlineData("feed --area 6000sqft --grade 28-3-6 --rate 1lb/1000sqft", "10.71 lb each")]
    [InlineData(
        "feed --area 6000sqft --grade 28-3-6 --rate 1lb/1000sqft --bag 20lb",
        "2 of 20 lb, 18.57 lb left over"
    )]
    [InlineData("feed --area 100m2 --grade 0-0-60 --of potash --rate 6g/m2", "1 kg (10 g/m2)")]
    [InlineData("feed --area 100m2 --grade 20-0-0 --rate 2g/m2 --units us", "on 1,076 sq ft")]
    [InlineData(
        "seed --area 20000sqft --rate 1lb/1000sqft --purity 48% --germination 80%",
        "52.08 lb (2.604 lb per"
    )]
    [InlineData("water --area 1000sqft --depth 1in", "623.4 gallons")]
    [InlineData("water --area 450m2 --depth 12mm", "5,400 litres")]
    [InlineData(
        "water --area 5000sqft --depth 0.5in --sprinkler 1.5in/h --soil clay-loam",
        "4 of 5 min, with 20 min between"
    )]
    [InlineData(
        "water --area 5000sqft --depth 0.5in --sprinkler 1in/h --soil sand",
        "1: the soil keeps up"
    )]
    public async Task Answers_in_the_units_asked_for(string args, string said)
    {
        var answer = await RunAsync(args);
        Assert.Equal(0, answer.Exit);
        Assert.Equal("", answer.Error);
        Assert.Contains(said, answer.Out, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--grade 21-0-0 --rate 1.2lb/1000sqft", "TOO MUCH AT ONCE", "Maryland")]
    [InlineData("--grade 21-0-0 --rate 0.6lb/1000sqft", "University of Florida", "label")]
    [InlineData("--grade 10-10-10 --rate 0.4lb/1000sqft", "soil test", "local codes")]
    public async Task Feeding_is_cautioned(string args, string first, string second)
    {
        var answer = await RunAsync("feed --area 5000sqft " + args);
        Assert.Contains(first, answer.Out, StringComparison.Ordinal);
        Assert.Contains(second, answer.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_modest_feeding_raises_no_alarm()
    {
        var answer = await RunAsync("feed --area 5000sqft --grade 21-0-0 --rate 0.5lb/1000sqft");
        Assert.DoesNotContain("TOO MUCH", answer.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("Maryland", answer.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("Florida", answer.Out, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("feed", "--area is missing: Area, for example 5000sqft")]
    [InlineData("feed --area 5 --grade 21-0-0 --rate 1lb/1000sqft", "write a number and its unit")]
    [InlineData("feed --area 5000sqft --grade 16/4/8 --rate 1lb/1000sqft", "with dashes between")]
    [InlineData("feed --area 5000sqft --grade 60-50-1 --rate 1lb/1000sqft", "add up to 111")]
    [InlineData("feed --area 5000sqft --grade 0-0-60 --rate 1lb/1000sqft", "holds no nitrogen")]
    [InlineData(
        "feed --area 5000sqft --grade 16-4-8 --rate 1lb/1000sqft --slow 20%",
        "--slow is 20%, more than the 16% nitrogen"
    )]
    [InlineData("feed --area 5000sqft --grade 16-4-8 --rate 30lb/1000sqft", "far more than")]
    [InlineData(
        "feed --area 5000sqft --grade 16-4-8 --rate 1lb/1000sqft --of salt",
        "--of is 'salt'; write one of nitrogen"
    )]
    [InlineData(
        "seed --area 5000sqft --rate 6lb/1000sqft --purity 85 --germination 80%",
        "--purity is '85'; write a number and its unit (%)"
    )]
    [InlineData(
        "seed --area 5000sqft --rate 6lb/1000sqft --purity 85% --germination 0%",
        "must be above 0%"
    )]
    [InlineData(
        "seed --area 5000sqft --rate 6lb/1000sqft --purity 97% --germination 85% --inert 9%",
        "add up to 106%"
    )]
    [InlineData("seed --area 5000sqft --rate 60lb/1000sqft --purity 9% --germination 8%", "--rate")]
    [InlineData("water --area 5000sqft --depth 0.5in --soil clay", "only with --sprinkler")]
    [InlineData(
        "water --area 5000sqft --depth 0.5in --sprinkler 1.5in/h --soil peat",
        "--soil is 'peat'; write one of sand"
    )]
    [InlineData("water --area 5000sqft --depth 20in", "cannot be right")]
    public async Task Misuse_ends_with_2_and_says_what_to_write(string args, string sentence)
    {
        var answer = await RunAsync(args);
        Assert.Equal(2, answer.Exit);
        Assert.Equal("", answer.Out);
        Assert.Contains(sentence, answer.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("feed")]
    [InlineData("seed")]
    [InlineData("water")]
    public async Task Help_shows_an_example(string verb)
    {
        var answer = await RunAsync(verb + " --help");
        Assert.Contains("Example: turfwatch amount " + verb, answer.Out, StringComparison.Ordinal);
    }

    private Task<CliAnswer> RunAsync(string args) =>
        Cli.RunAsync(_scratch, TimeProvider.System, ["amount", .. args.Split(' ')]);
}
