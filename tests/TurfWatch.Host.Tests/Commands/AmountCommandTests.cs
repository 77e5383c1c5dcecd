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

    // Common practice, no source: 10 lb of annual ryegrass on 1,000 sq ft; a 50 lb bag serves five seasons; 0.03 % is a
    // clean tag, 600 to 3,600 weed seeds in 10 lb. University of Illinois (1995): tall fescue 225,000 seeds a pound.
    [Theory]
    [InlineData("--grass annual-ryegrass --for winter-overseed", "From the bag  10 lb")]
    [InlineData(
        "--grass annual-ryegrass --for winter-overseed --bag 50lb",
        "Lasts         5 seasons at that rate; 4 when"
    )]
    [InlineData("--rate 10lb/1000sqft --weed 0.03%", "600 to 3,600 seeds on this lawn")]
    [InlineData("--rate 10lb/1000sqft --weed 0.03%", "A clean tag")]
    [InlineData("--rate 10lb/1000sqft --noxious 9", "90 seeds on this lawn")]
    [InlineData("--rate 1lb/1000sqft --grass tall-fescue", "about 230 a square foot")]
    [InlineData("--grass tall-fescue --for thin-lawn", "From the bag  3.5 lb")]
    [InlineData(
        "--rate 6lb/1000sqft --purity 97% --germination 85% --tested 2024-08 --on 2026-08-01",
        "germination perhaps 69%"
    )]
    [InlineData(
        "--rate 6lb/1000sqft --purity 97% --germination 85% --tested 2024-08 --on 2026-08-01",
        "more than 12 months old"
    )]
    public async Task Seed_is_told_by_kind_tag_and_age(string args, string said) =>
        Assert.Contains(
            said,
            (await RunAsync("seed --area 1000sqft " + args)).Out,
            StringComparison.Ordinal
        );

    // Md. Code, Agriculture 8-803.5 and 6-224; Texas AgriLife: bermudagrass at most 4 lb of N a season. Auburn and
    // Oregon State: 110 lb of limestone undo 100 lb of ammonium sulfate, 2.6 lb for half a pound of N.
    [Theory]
    [InlineData("--state MD --on 2026-12-01", "FORBIDDEN NOW by Maryland law")]
    [InlineData("--state md --on 2026-07-01", "Maryland: at most 0.9 lb")]
    [InlineData("--state TX", "does not mean there is none")]
    [InlineData("--grass bermuda --given 3.8lb/1000sqft", "MORE than the season's most")]
    [InlineData("--grass bermuda", "0.5 lb per 1,000 sq ft to 1 lb per 1,000 sq ft")]
    [InlineData("--ph 7.8", "as much as 2.6 lb per 1,000 sq ft")]
    public async Task Feeding_is_told_by_law_season_and_soil(string args, string said) =>
        Assert.Contains(
            said,
            (
                await RunAsync("feed --area 1000sqft --grade 21-0-0 --rate 0.5lb/1000sqft " + args)
            ).Out,
            StringComparison.Ordinal
        );

    [Fact]
    public async Task Feeding_within_law_and_season_is_not_shouted_at()
    {
        var answer = await RunAsync(
            "feed --area 1000sqft --grade 21-0-0 --rate 0.5lb/1000sqft --grass bermuda --given 1lb/1000sqft --state MD --on 2026-07-01"
        );
        Assert.DoesNotContain("FORBIDDEN", answer.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("MORE", answer.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("ABOVE", answer.Out, StringComparison.Ordinal);
    }

    // Woods et al. 2016: phosphorus 21; Havlin et al. 1999: iron 2.5-4.5 marginal (DTPA).
    [Fact]
    public async Task A_soil_test_is_read_finding_by_finding_with_its_source()
    {
        var answer = await RunAsync(
            "soil-test --test 2026-03-10,ph=7.9,p=12ppm,fe=3ppm --grass bermuda --on 2026-06-01"
        );
        Assert.Equal(0, answer.Exit);
        foreach (
            var words in new[] { "alkaline", "Phosphorus is low", "Woods et al. 2016", "marginal" }
        )
        {
            Assert.Contains(words, answer.Out, StringComparison.Ordinal);
        }
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
    [InlineData("seed --area 1000sqft", "or the grass with --grass")]
    [InlineData("seed --area 0sqft --rate 5lb/1000sqft", "--area is '0sqft'")]
    [InlineData("seed --area 1000sqft --for new-lawn --rate 5lb/1000sqft", "only with --grass")]
    [InlineData("seed --area 1000sqft --grass st-augustine", "it is planted")]
    [InlineData(
        "seed --area 1000sqft --rate 5lb/1000sqft --purity 97%",
        "--purity and --germination belong together"
    )]
    [InlineData(
        "seed --area 1000sqft --rate 5lb/1000sqft --purity 97% --germination 85% --weed 6%",
        "add up to 103%"
    )]
    [InlineData(
        "seed --area 1000sqft --rate 5lb/1000sqft --purity 97% --germination 85% --tested 1890-05",
        "no bag of seed is from"
    )]
    [InlineData(
        "seed --area 1000sqft --rate 5lb/1000sqft --purity 97% --germination 85% --tested May",
        "write year and month"
    )]
    [InlineData(
        "seed --area 1000sqft --rate 5lb/1000sqft --purity 97% --germination 85% --tested 2190-05",
        "still to come"
    )]
    [InlineData("feed --area 0sqft --grade 21-0-0 --rate 1lb/1000sqft", "--area is '0sqft'")]
    [InlineData("feed --area 5000sqft --grade 60-60-60 --rate 1lb/1000sqft", "add up to 180")]
    [InlineData(
        "feed --area 5000sqft --grade 21-0-0 --rate 1lb/1000sqft --state Texas",
        "two letters of the state"
    )]
    [InlineData(
        "feed --area 5000sqft --grade 21-0-0 --rate 1lb/1000sqft --on 1890-01-01",
        "--on is '1890-01-01'"
    )]
    [InlineData(
        "feed --area 5000sqft --grade 21-0-0 --rate 1lb/1000sqft --on 2190-01-01",
        "years ahead"
    )]
    [InlineData(
        "feed --area 5000sqft --grade 21-0-0 --rate 1lb/1000sqft --given 1lb/1000sqft",
        "--given is of use only with --grass"
    )]
    [InlineData(
        "feed --area 5000sqft --grade 21-0-0 --rate 1lb/1000sqft --ph 14",
        "--ph is '14', which cannot be right"
    )]
    [InlineData(
        "feed --area 5000sqft --grade 21-0-0 --rate 1lb/1000sqft --ph sour",
        "write a number, for example 7.8"
    )]
    [InlineData("soil-test --grass bermuda", "--test is missing")]
    [InlineData("soil-test --grass bermuda --test 1890-01-01,ph=7", "--test is '1890-01-01'")]
    [InlineData("soil-test --grass bermuda --test 2026-01-01,ph=70", "ph=70")]
    [InlineData(
        "soil-test --grass bermuda --test 2026-09-01,ph=7 --on 2026-06-01",
        "still to come on 2026-06-01"
    )]
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
    [InlineData("soil-test")]
    public async Task Help_shows_an_example(string verb)
    {
        var answer = await RunAsync(verb + " --help");
        Assert.Contains("Example: turfwatch amount " + verb, answer.Out, StringComparison.Ordinal);
    }

    private Task<CliAnswer> RunAsync(string args) =>
        Cli.RunAsync(_scratch, TimeProvider.System, ["amount", .. args.Split(' ')]);
}
