using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class AcidityTests
{
    // Auburn University ANR-174, Oregon State Table 26-2 and a University of California table: lb of CaCO3 for 100 lb
    // of material, or a pound of N. The printed table value is our lower end (to its rounding to a tenth), and full
    // oxidation the upper: Hartwell & Damon 1927, 4 lb of CaO a pound of N, 4 * 100.09 / 56.08 = 7.14 lb of CaCO3.
    [Theory]
    [InlineData(21, 110 / 21.0, 7.14)]
    [InlineData(46, 71 / 45.0, 3.57)]
    [InlineData(33.5, 62 / 33.0, 3.57)]
    [InlineData(15.5, -20 / 15.0, -20 / 15.0)]
    public void Lime_to_undo_a_pound_of_nitrogen_is_that_of_the_tables(
        double percent,
        double low,
        double high
    )
    {
        var effect = Acidity.Of(new(percent, 0, 0))!;
        Assert.Equal(low, effect.LimePerNitrogenLow, 0.1);
        Assert.Equal(high, effect.LimePerNitrogenHigh, 0.1);
    }

    // Stoichiometry: ammonium sulfate brings two acids a nitrogen, urea one: CaCO3 neutralises two.
    [Fact]
    public void The_upper_ends_are_those_of_stoichiometry()
    {
        const double limestone = 100.087;
        const double nitrogen = 14.007;
        Assert.Equal(limestone / nitrogen, Acidity.Of(new(21, 0, 0))!.LimePerNitrogenHigh, 0.1);
        Assert.Equal(limestone / nitrogen / 2, Acidity.Of(new(46, 0, 0))!.LimePerNitrogenHigh, 0.1);
    }

    [Fact]
    public void A_mixture_does_not_tell_what_it_is_made_of()
    {
        Assert.Null(Acidity.Of(new(16, 4, 8)));
        Assert.Null(Acidity.Of(new(24, 0, 0)));
        Assert.Null(Acidity.Of(new(21, 0, 3)));
    }

    [Theory]
    [InlineData(5.4, "already 5.4")]
    [InlineData(7.9, "welcome at your pH of 7.9")]
    [InlineData(6.5, null)]
    public void The_soil_test_decides_what_it_means(double ph, string? words)
    {
        var remark = Acidity.Remark(new(21, 0, 0), 4.882, ph);
        if (words is null)
        {
            Assert.Null(remark);
        }
        else
        {
            Assert.Contains(words, remark!.InUs(DateTimeZone.Utc), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Without_a_soil_test_nothing_is_said() =>
        Assert.Null(Acidity.Remark(new(21, 0, 0), 4.882, null));
}
