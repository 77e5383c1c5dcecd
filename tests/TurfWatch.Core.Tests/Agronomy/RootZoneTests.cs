using CsCheck;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class RootZoneTests
{
    // FAO-56 (Allen et al. 1998) Example 36, tomato at 0.8 m with p = 0.40, as another public library's tests repeat
    // it; RAW is printed to the millimetre.
    [Theory]
    [InlineData(0.15, 0.06, 72, 29)]
    [InlineData(0.32, 0.15, 136, 54)]
    [InlineData(0.35, 0.23, 96, 38)]
    public void Available_water_is_that_of_FAO_56_example_36(
        double fieldCapacity,
        double wilting,
        double total,
        double easy
    )
    {
        var taw = RootZone.TotalAvailableMm(fieldCapacity, wilting, 0.8);
        Assert.Equal(total, taw, 1e-9);
        // p is tabled for 5 mm a day.
        Assert.Equal(easy, Math.Round(new RootZone(taw, 0.40).EasyMm(5)));
    }

    // By hand from eqs. 82 and 83: 1000 (0.25 - 0.12) 0.15 = 19.5 mm, half of it 9.75.
    [Fact]
    public void Shallow_turf_holds_little()
    {
        var taw = RootZone.TotalAvailableMm(0.25, 0.12, 0.15);
        Assert.Equal(19.5, taw, 1e-9);
        Assert.Equal(9.75, new RootZone(taw, 0.5).EasyMm(5), 1e-9);
    }

    // FAO-56, note to Table 22: p + 0.04 (5 - ETc), between 0.1 and 0.8.
    [Theory]
    [InlineData(5, 0.40)]
    [InlineData(2.5, 0.50)]
    [InlineData(8, 0.28)]
    [InlineData(20, 0.10)]
    public void The_easy_share_falls_with_the_demand(double demand, double share) =>
        Assert.Equal(share, new RootZone(100, 0.4).EasyShareAt(demand), 1e-9);

    // By hand from eq. 84: TAW 160, p 0.5: half stressed at a deficit of 120 mm.
    [Theory]
    [InlineData(50, 5)]
    [InlineData(120, 2.5)]
    [InlineData(160, 0)]
    public void Use_falls_with_stress(double deficit, double use) =>
        Assert.Equal(use, new RootZone(160, 0.5).UseMm(deficit, 5), 1e-9);

    // By hand from eq. 85.
    [Theory]
    [InlineData(30, 0, 0, 34)]
    [InlineData(30, 20, 0, 14)]
    [InlineData(30, 0, 20, 14)]
    [InlineData(30, 50, 0, 0)]
    // Below a fifth of the reference evapotranspiration rain counts for nothing.
    [InlineData(30, 0.9, 0, 34)]
    public void A_day_changes_the_deficit(double before, double rain, double given, double after) =>
        Assert.Equal(after, new RootZone(160, 0.5).Step(before, rain, given, 5, 4), 1e-9);

    [Fact]
    public void The_deficit_stays_between_full_and_wilting() =>
        Gen.Select(Gen.Double[0, 60], Gen.Double[0, 200], Gen.Double[0, 50], Gen.Double[0, 12])
            .Sample(
                (deficit, rain, given, demand) =>
                    new RootZone(60, 0.5).Step(deficit, rain, given, 8, demand) is >= 0 and <= 60
            );

    [Fact]
    public void Unknown_rain_gives_an_unknown_deficit() =>
        Assert.True(double.IsNaN(new RootZone(60, 0.5).Step(10, double.NaN, 0, 5, 4)));

    [Theory]
    [InlineData(0.1, 0.2, 0.2, "above the wilting point")]
    [InlineData(28, 14, 0.2, "volume fractions")]
    [InlineData(0.28, 0.14, 20, "give metres")]
    public void Mixed_up_inputs_are_refused(double fc, double wp, double depth, string told) =>
        Assert.Contains(
            told,
            Assert
                .Throws<ArgumentOutOfRangeException>(() => RootZone.TotalAvailableMm(fc, wp, depth))
                .Message,
            StringComparison.Ordinal
        );
}
