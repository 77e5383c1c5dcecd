using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class SoilTestAdviceTests
{
    private static readonly LocalDate Today = new(2026, 6, 1);

    // Mehlich-3 phosphorus: 21 (Woods et al. 2016), 27-54 sufficient (Carrow et al. 2003).
    [Theory]
    [InlineData(20, "low", AdviceWeight.Cautions)]
    [InlineData(40, "enough", AdviceWeight.Informs)]
    [InlineData(55, "high", AdviceWeight.Informs)]
    public void Phosphorus(double ppm, string word, AdviceWeight weight) =>
        Says(new() { Date = Today, PhosphorusMgKg = ppm }, word, weight);

    // Potassium: 37 (Woods et al. 2016); sufficient 75-176 on other than sand (Carrow et al. 2003).
    [Theory]
    [InlineData(36, "is low", AdviceWeight.Cautions)]
    [InlineData(60, "low side", AdviceWeight.Cautions)]
    [InlineData(100, "enough", AdviceWeight.Informs)]
    [InlineData(177, "high", AdviceWeight.Informs)]
    public void Potassium(double ppm, string word, AdviceWeight weight) =>
        Says(new() { Date = Today, PotassiumMgKg = ppm }, word, weight);

    // Carrow et al. 2003: on sand 50-116 is sufficient.
    [Fact]
    public void Sand_needs_less_potassium_in_the_test() =>
        Says(
            new() { Date = Today, PotassiumMgKg = 60 },
            "enough",
            AdviceWeight.Informs,
            soil: SoilTexture.Sand
        );

    // DTPA iron: 0-2.5 low, 2.6-4.5 marginal, above 4.5 sufficient (Havlin et al. 1999).
    [Theory]
    [InlineData(2.4, "is low", AdviceWeight.Cautions)]
    [InlineData(3.5, "marginal", AdviceWeight.Cautions)]
    [InlineData(4.6, "enough", AdviceWeight.Informs)]
    public void Iron(double ppm, string word, AdviceWeight weight) =>
        Says(new() { Date = Today, IronMgKg = ppm }, word, weight);

    // Rutgers: critical level of boron 0.5; the high end is from memory, unverified.
    [Theory]
    [InlineData(0.4, "low", AdviceWeight.Informs)]
    [InlineData(1, "in order", AdviceWeight.Informs)]
    [InlineData(6, "high", AdviceWeight.Cautions)]
    public void Boron(double ppm, string word, AdviceWeight weight) =>
        Says(new() { Date = Today, BoronMgKg = ppm }, word, weight);

    // University of Minnesota: 2.8 % is called low, 3.5 % medium.
    [Theory]
    [InlineData(2.8, "low")]
    [InlineData(3.5, "middling")]
    public void Organic_matter(double percent, string word) =>
        Says(new() { Date = Today, OrganicMatterPercent = percent }, word, AdviceWeight.Informs);

    // Uddin & Juraimi 2013, Table 1: sensitive below 3, moderately sensitive 3-6, moderately tolerant 6-10, tolerant
    // above 10 dS/m; perennial ryegrass S, Kentucky bluegrass MS, tall fescue MT, St. Augustinegrass T.
    [Theory]
    [InlineData(GrassKind.PerennialRyegrass, 2.9, "no trouble")]
    [InlineData(GrassKind.PerennialRyegrass, 3.1, "more salt than")]
    [InlineData(GrassKind.KentuckyBluegrass, 4, "may hold")]
    [InlineData(GrassKind.TallFescue, 4, "no trouble")]
    [InlineData(GrassKind.TallFescue, 8, "may hold")]
    [InlineData(GrassKind.StAugustine, 9, "no trouble")]
    [InlineData(GrassKind.StAugustine, 11, "more salt than")]
    public void Salt_is_judged_by_the_grass(GrassKind kind, double ds, string word) =>
        Says(
            new() { Date = Today, SalinityDSM = ds },
            word,
            word == "no trouble" ? AdviceWeight.Informs : AdviceWeight.Cautions,
            kind
        );

    [Theory]
    [InlineData(GrassKind.TallFescue, 5.5, "acid", AdviceWeight.Cautions)]
    [InlineData(GrassKind.TallFescue, 6.5, "suits", AdviceWeight.Informs)]
    [InlineData(GrassKind.TallFescue, 7.9, "alkaline", AdviceWeight.Cautions)]
    [InlineData(GrassKind.Centipede, 5.5, "suits", AdviceWeight.Informs)]
    [InlineData(GrassKind.Centipede, 7, "alkaline", AdviceWeight.Cautions)]
    public void Acidity_is_judged_by_the_grass(
        GrassKind kind,
        double ph,
        string word,
        AdviceWeight weight
    ) => Says(new() { Date = Today, Ph = ph }, word, weight, kind);

    [Fact]
    public void An_old_test_is_said_to_be_old()
    {
        var said = Of(new() { Date = Today.PlusYears(-3).PlusDays(-1), Ph = 6.5 });
        Assert.Equal(2, said.Length);
        Assert.Contains(
            "have a new one made",
            said[0].Text.InUs(DateTimeZone.Utc),
            StringComparison.Ordinal
        );
        Assert.Single(Of(new() { Date = Today.PlusYears(-3), Ph = 6.5 }));
    }

    [Fact]
    public void What_was_not_tested_is_not_spoken_of() => Assert.Empty(Of(new() { Date = Today }));

    private static Finding[] Of(
        SoilTest test,
        GrassKind kind = GrassKind.TallFescue,
        SoilTexture soil = SoilTexture.Loam
    ) =>
        [
            .. SoilTestAdvice.Of(
                new()
                {
                    Place = new("79901", "El Paso", "TX", 31.76, -106.48, "America/Denver"),
                    Grass = kind,
                    Soil = soil,
                    SoilTest = test,
                },
                Today
            ),
        ];

    private static void Says(
        SoilTest test,
        string word,
        AdviceWeight weight,
        GrassKind kind = GrassKind.TallFescue,
        SoilTexture soil = SoilTexture.Loam
    )
    {
        var finding = Assert.Single(Of(test, kind, soil));
        Assert.Contains(
            word,
            finding.Text.InUs(DateTimeZone.Utc),
            StringComparison.OrdinalIgnoreCase
        );
        Assert.Equal(weight, finding.Weight);
        Assert.False(string.IsNullOrWhiteSpace(finding.Source));
    }
}
