using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class DiseaseModelTests
{
    // The equation of Smith et al. 2018 (PLoS ONE 13:e0194216) evaluated by hand.
    [Theory]
    [InlineData(80, 20, 0.4042)]
    [InlineData(70, 20, 0.2172)]
    [InlineData(60, 15, 0.0414)]
    [InlineData(75, 18, 0.2277)]
    [InlineData(100, 12, 0.4636)]
    public void Dollar_spot_follows_its_equation(double humidity, double meanC, double chance) =>
        Assert.Equal(chance, DollarSpot.Chance(humidity, meanC), 1e-4);

    // Recomputed: at 80 % humidity the mark of 20 % is passed at 14.83 °C.
    [Theory]
    [InlineData(14.82, false)]
    [InlineData(14.84, true)]
    public void At_80_percent_humidity_the_mark_lies_at_14_83_degrees(double meanC, bool passed) =>
        Assert.Equal(passed, DollarSpot.Chance(80, meanC) >= DollarSpot.Mark);

    [Theory]
    [InlineData(9.9)]
    [InlineData(35.1)]
    [InlineData(double.NaN)]
    public void Outside_10_to_35_degrees_dollar_spot_has_no_answer(double meanC) =>
        Assert.True(double.IsNaN(DollarSpot.Chance(90, meanC)));

    // The equation of Fidanza et al. 1996 (Phytopathology 86:385) evaluated by hand.
    [Theory]
    [InlineData(80, 20, 5.30)]
    [InlineData(75, 16, 3.702)]
    [InlineData(90, 22, 6.828)]
    [InlineData(85, 21, 6.097)]
    public void Brown_patch_follows_its_equation(double humidity, double minC, double index) =>
        Assert.Equal(index, BrownPatch.Index(humidity, minC), 1e-3);

    [Theory]
    [InlineData(90, 22, true)]
    [InlineData(80, 20, false)]
    // The curve alone would warn: 6.6 at 14 °C and 100 %; the paper saw no outbreak in nights that cool.
    [InlineData(100, 14, false)]
    [InlineData(double.NaN, 22, false)]
    public void Brown_patch_warns_from_six_in_warm_nights(
        double humidity,
        double minC,
        bool warns
    ) => Assert.Equal(warns, BrownPatch.Favours(humidity, minC));

    // Nutter et al. 1983: maximum above 30 °C, then 14 hours above 90 %, minimum above 20 °C.
    [Theory]
    [InlineData(31, 21, 14, true)]
    [InlineData(30, 21, 14, false)]
    [InlineData(31, 20, 14, false)]
    [InlineData(31, 21, 13, false)]
    public void Pythium_needs_a_hot_day_then_a_warm_humid_night(
        double maxC,
        double minC,
        int humidHours,
        bool favours
    )
    {
        var (air, humidity) = Day(maxC, minC, humidHours);
        Assert.Equal(favours, PythiumBlight.Favours(air, humidity));
    }

    [Fact]
    public void An_unknown_hour_leaves_pythium_open_unless_it_cannot_matter()
    {
        var (air, humidity) = Day(31, 21, 14);
        humidity[20] = double.NaN;
        Assert.Null(PythiumBlight.Favours(air, humidity));
        air[22] = 15;
        Assert.False(PythiumBlight.Favours(air, humidity));
    }

    [Fact]
    public void Mixed_up_inputs_are_refused_with_what_to_give()
    {
        Assert.Contains(
            "between 0 and 100",
            Assert.Throws<ArgumentOutOfRangeException>(() => DollarSpot.Chance(180, 20)).Message,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "in °F",
            Assert.Throws<ArgumentOutOfRangeException>(() => BrownPatch.Index(80, 75)).Message,
            StringComparison.Ordinal
        );
        Assert.Contains(
            "24 hourly values",
            Assert
                .Throws<ArgumentOutOfRangeException>(() => PythiumBlight.Favours([30], [95]))
                .Message,
            StringComparison.Ordinal
        );
    }

    // From noon: seven hot hours, then night.
    private static (double[] Air, double[] Humidity) Day(double maxC, double minC, int humidHours)
    {
        var air = new double[24];
        var humidity = new double[24];
        for (var i = 0; i < 24; i++)
        {
            air[i] = i < 7 ? maxC : minC;
            humidity[i] = i >= 24 - humidHours ? 95 : 60;
        }

        return (air, humidity);
    }
}
