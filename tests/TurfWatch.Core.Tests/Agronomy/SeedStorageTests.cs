using NodaTime;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class SeedStorageTests
{
    private const double KgPerLb = 0.45359237;
    private const double Lb = Customary.PoundPerThousandSquareFeet;

    // Common practice, no source: a 50 lb bag serves 1,000 sq ft for five seasons at 10 lb.
    [Fact]
    public void A_fifty_pound_bag_serves_a_thousand_square_feet_for_five_seasons()
    {
        var seasons = SeedStorage.Bag(50 * KgPerLb, 10 * KgPerLb, lossAYear: 0);
        Assert.Equal(5, seasons.Length);
        Assert.Equal(0, seasons[^1].LeftKg, 1e-9);
    }

    // By hand: 10, 10/.9 = 11.11, 10/.81 = 12.35, 10/.729 = 13.72 lb make 47.17 lb; the next 15.24 do not fit.
    [Fact]
    public void Ageing_seed_makes_it_four()
    {
        var seasons = SeedStorage.Bag(50 * KgPerLb, 10 * KgPerLb);
        Assert.Equal(
            [10, 11.11, 12.35, 13.72],
            seasons.Select(s => Math.Round(s.NeedKg / KgPerLb, 2))
        );
        Assert.Equal(2.83, seasons[^1].LeftKg / KgPerLb, 0.005);
    }

    // By hand: 85 % and a tenth a year: 76.5, 68.85.
    [Theory]
    [InlineData(0, 85)]
    [InlineData(1, 76.5)]
    [InlineData(2, 68.85)]
    public void Germination_falls_by_its_share_a_year(double years, double expected) =>
        Assert.Equal(expected, SeedStorage.Germination(85, years), 1e-9);

    [Fact]
    public void The_likely_loss_lies_between_the_least_and_the_most() =>
        Assert.InRange(
            SeedStorage.LossAYear,
            SeedStorage.LeastLossAYear,
            SeedStorage.MostLossAYear
        );

    [Fact]
    public void What_cannot_be_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => SeedStorage.Germination(103, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => SeedStorage.Germination(85, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => SeedStorage.Germination(85, 1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => SeedStorage.Bag(0, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => SeedStorage.Bag(1, double.Epsilon * -1));
    }

    // Common practice: 0.03 % is a clean tag. By hand: 0.003 lb in 10 lb; at 200,000 to 1.2 million seeds a pound
    // (cheatgrass and annual bluegrass in a seed trade's list) 600 to 3,600 seeds.
    [Fact]
    public void Even_a_clean_tag_holds_hundreds_of_weed_seeds()
    {
        var count = SeedCount.Of(10 * KgPerLb, SeedCount.CleanWeedPercent);
        Assert.Equal(600, count.Low, 1e-6);
        Assert.Equal(3600, count.High, 1e-6);
        Assert.Throws<ArgumentOutOfRangeException>(() => SeedCount.Of(1, 101));
    }

    // University of Illinois (1995): 1.4 million seeds of Kentucky bluegrass and 240,000 of perennial ryegrass a pound;
    // a pound on 1,000 sq ft is then 1,400 and 240 a square foot. Cornell's 1.5 million and 250,000 are within a tenth.
    [Theory]
    [InlineData(GrassKind.KentuckyBluegrass, 1400, 1500)]
    [InlineData(GrassKind.PerennialRyegrass, 240, 250)]
    public void Live_seeds_are_counted_by_the_printed_seeds_a_pound(
        GrassKind kind,
        double aSquareFoot,
        double cornell
    )
    {
        var live = SeedCount.LivePerM2(Grasses.Of(kind), Lb)!.Value * 0.09290304;
        Assert.Equal(aSquareFoot, live, 1e-6);
        Assert.InRange(cornell / live, 0.9, 1.1);
        Assert.Null(SeedCount.LivePerM2(Grasses.Of(GrassKind.StAugustine), Lb));
    }

    // FAO-56 (Allen et al. 1998): wet bare soil loses up to 1.15 ET0; by hand 1.15 * 6 / 2.54 = 2.7, so three goes;
    // never fewer than two nor more than four (common practice).
    [Theory]
    [InlineData(1, 2)]
    [InlineData(4, 2)]
    [InlineData(6, 3)]
    [InlineData(12, 4)]
    [InlineData(double.NaN, 2)]
    public void The_drier_the_air_the_more_often_seed_is_watered(double et0Mm, int times)
    {
        var plan = SeedWatering.Of(
            Grasses.Of(GrassKind.PerennialRyegrass),
            new(2026, 10, 1),
            et0Mm
        );
        Assert.Equal(times, plan.TimesADay);
        Assert.Equal(new LocalDate(2026, 10, 6), plan.FirstUp);
        Assert.Equal(new LocalDate(2026, 10, 11), plan.AllUp);
    }

    [Fact]
    public void A_planted_grass_has_no_watering_of_seed() =>
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            SeedWatering.Of(Grasses.Of(GrassKind.StAugustine), new(2026, 10, 1), 4)
        );
}
