using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class ProductAmountTests
{
    private const double Lb = Customary.PoundPerThousandSquareFeet;
    private const double ThousandSquareFeet = 92.90304;
    private const double KgPerLb = 0.45359237;

    // Printed, for 1 lb of N on 1,000 sq ft. University of Georgia (ugaurbanag.com): 10-10-10 10, 12-4-8 8.3,
    // 5-10-15 20, 16-4-8 6.3, 33-0-0 3 lb: rounded to the tenth, and 33-0-0 (exact 3.03) to the pound.
    [Theory]
    [InlineData(10, 10, 10, 10, 0.05)]
    [InlineData(12, 4, 8, 8.3, 0.05)]
    [InlineData(5, 10, 15, 20, 0.05)]
    [InlineData(16, 4, 8, 6.3, 0.0501)]
    [InlineData(33, 0, 0, 3, 0.05)]
    public void Pounds_of_product_agree_with_the_printed_table(
        double n,
        double p,
        double k,
        double printedLb,
        double rounding
    ) => Assert.Equal(printedLb, PoundsFor(new(n, p, k), 1, 1), rounding);

    // University of Nebraska-Lincoln: 28-3-6 at 1.0 lb on 6,000 sq ft: 3.57 lb a thousand, 21.42 lb in
    // all (the product of the rounded figure; exact 21.43). University of Arizona, Master Gardener manual:
    // 21-0-0, 5,000 sq ft, 1 lb: 25 lb, because 21 is rounded to 20 % there; exact 23.81.
    // North Carolina State, lawn calendar: half a pound of N from 5-5-15 is 10 lb.
    [Theory]
    [InlineData(28, 3, 6, 1, 6, 21.43)]
    [InlineData(21, 0, 0, 1, 5, 23.81)]
    [InlineData(20, 0, 0, 1, 5, 25)]
    [InlineData(5, 5, 15, 0.5, 1, 10)]
    public void Worked_examples_come_out_to_a_hundredth_of_a_pound(
        double n,
        double p,
        double k,
        double rateLb,
        double thousands,
        double expectedLb
    ) => Assert.Equal(expectedLb, PoundsFor(new(n, p, k), rateLb, thousands), 0.005);

    // Recomputed: 100 / N %, for 1 lb of N.
    [Theory]
    [InlineData(21, 4.762)]
    [InlineData(46, 2.174)]
    [InlineData(16, 6.25)]
    [InlineData(15.5, 6.452)]
    public void Exact_pounds_for_common_grades(double n, double expectedLb) =>
        Assert.Equal(expectedLb, PoundsFor(new(n, 0, 0), 1, 1), 0.0005);

    // The trade's factors are .44 and .83. By hand from the atomic weights: 61.9475 / 141.9425 = .43643 and
    // 78.1966 / 94.1956 = .83015.
    [Theory]
    [InlineData(0.44, 0.83, 0.005)]
    [InlineData(0.43643, 0.83015, 0.000005)]
    public void Phosphate_and_potash_hold_the_elements_by_weight(
        double phosphorus,
        double potassium,
        double rounding
    )
    {
        var amount = ProductAmount.Of(new(1, 1, 1), Nutrient.Nitrogen, 1, 1);
        Assert.Equal(phosphorus, amount.PhosphorusGM2, rounding);
        Assert.Equal(potassium, amount.PotassiumGM2, rounding);
    }

    // LSU AgCenter (Koske): 1 to 2 lb of 0-0-60 on 1,000 sq ft; 60 % of 2 lb is 1.2 lb of potash.
    [Fact]
    public void A_rate_may_speak_of_potash()
    {
        var amount = ProductAmount.Of(new(0, 0, 60), Nutrient.Potash, 1.2 * Lb, ThousandSquareFeet);
        Assert.Equal(2, amount.ProductKg / KgPerLb, 1e-6);
        Assert.Equal(0, amount.NitrogenGM2);
    }

    // Ceilings: 1 lb soluble, common practice; University of Florida (Florida Yards): half a pound where less
    // than 30 % is slow; Maryland Agriculture Code 6-224: 0.9 lb in all, 0.7 lb water-soluble.
    [Theory]
    [InlineData(0.5, 0, false, false, false)]
    [InlineData(0.6, 0, false, true, false)]
    [InlineData(0.75, 0, false, true, true)]
    [InlineData(0.9, 8, false, false, false)]
    [InlineData(0.95, 12, false, false, true)]
    [InlineData(1, 0, false, true, true)]
    [InlineData(1.1, 0, true, true, true)]
    [InlineData(1.1, 12, false, false, true)]
    public void Ceilings_bite_where_they_are_said_to(
        double rateLb,
        double slowPercent,
        bool tooMuch,
        bool mostlySoluble,
        bool law
    )
    {
        var amount = ProductAmount.Of(
            new(24, 0, 11),
            Nutrient.Nitrogen,
            rateLb * Lb,
            1,
            slowPercent
        );
        Assert.Equal(
            (tooMuch, mostlySoluble, law),
            (
                amount.TooMuchSoluble,
                amount.AboveMostlySoluble,
                amount.Above(FertilizerLaw.For("MD"))
            )
        );
    }

    [Fact]
    public void What_cannot_be_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new FertilizerGrade(60, 30, 20));
        Assert.Throws<ArgumentOutOfRangeException>(() => new FertilizerGrade(0, 0, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new FertilizerGrade(-1, 0, 5));
        var potash = new FertilizerGrade(0, 0, 60);
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            ProductAmount.Of(potash, Nutrient.Nitrogen, 5, 100)
        );
        var urea = new FertilizerGrade(46, 0, 0);
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            ProductAmount.Of(urea, Nutrient.Nitrogen, double.NaN, 100)
        );
        Assert.Throws<ArgumentOutOfRangeException>(() =>
            ProductAmount.Of(urea, Nutrient.Nitrogen, 5, 100, slowNitrogenPercent: 47)
        );
    }

    private static double PoundsFor(FertilizerGrade grade, double rateLb, double thousands) =>
        ProductAmount
            .Of(grade, Nutrient.Nitrogen, rateLb * Lb, thousands * ThousandSquareFeet)
            .ProductKg / KgPerLb;
}
