using NodaTime;
using TurfWatch.Core.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class DiseaseWeatherTests
{
    // 85 % and 20 °C for five days: the equation gives 0.515.
    [Fact]
    public void Humid_mild_days_are_told_for_dollar_spot()
    {
        var maker = Weather(GrassKind.Bermuda, humidity: 85, meanC: 20, minC: 14);
        var finding = Assert.Single(DiseaseWeather.Of(maker.Build()));
        Assert.Equal(AdviceWeight.Cautions, finding.Weight);
        Assert.Contains(
            "51 %",
            finding.Evidence.InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    [Theory]
    [InlineData(55, 20)]
    [InlineData(95, 8)]
    public void Dry_or_cold_days_are_not(double humidity, double meanC) =>
        Assert.Empty(
            DiseaseWeather.Of(Weather(GrassKind.Bermuda, humidity, meanC, meanC - 4).Build())
        );

    [Fact]
    public void Brown_patch_is_told_of_tall_fescue_and_not_of_bermudagrass()
    {
        Assert.Contains(
            DiseaseWeather.Of(Weather(GrassKind.TallFescue, 90, 26, 22).Build()),
            f => f.Text.Format.Contains("brown patch", StringComparison.Ordinal)
        );
        Assert.DoesNotContain(
            DiseaseWeather.Of(Weather(GrassKind.Bermuda, 90, 26, 22).Build()),
            f => f.Text.Format.Contains("brown patch", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void A_hot_day_before_a_warm_humid_night_is_told_for_pythium()
    {
        var maker = Weather(GrassKind.PerennialRyegrass, 60, 27, 15);
        maker
            .Morning.Set(WeatherColumn.AirTemperatureC, 12, 18, 33)
            .Set(WeatherColumn.AirTemperatureC, 18, 36, 23)
            .Set(WeatherColumn.RelativeHumidityPercent, 20, 36, 96);
        var finding = Assert.Single(
            DiseaseWeather.Of(maker.Build()),
            f => f.Text.Format.Contains("Pythium", StringComparison.Ordinal)
        );
        Assert.Contains("today", finding.Text.InUs(maker.Morning.Zone), StringComparison.Ordinal);
    }

    [Fact]
    public void A_grass_without_a_model_and_a_grass_at_rest_are_left_alone()
    {
        Assert.Empty(DiseaseWeather.Of(Weather(GrassKind.Centipede, 95, 22, 20).Build()));
        var resting = Weather(GrassKind.Bermuda, 95, 16, 12).Before(d => d.Soil10CmC, 6);
        Assert.Empty(DiseaseWeather.Of(resting.Build()));
    }

    [Fact]
    public void Unknown_humidity_says_nothing() =>
        Assert.Empty(DiseaseWeather.Of(Weather(GrassKind.TallFescue, double.NaN, 26, 22).Build()));

    // The product's rule: a caution, never a prescription.
    [Fact]
    public void Every_finding_defers_to_a_diagnosis_and_names_no_treatment()
    {
        var maker = Weather(GrassKind.PerennialRyegrass, 92, 26, 22);
        maker.Morning[WeatherColumn.AirTemperatureC].Fill(31);
        maker.Morning[WeatherColumn.RelativeHumidityPercent].Fill(95);
        var findings = DiseaseWeather.Of(maker.Build()).ToList();
        Assert.Equal(3, findings.Count);
        Assert.All(
            findings,
            f =>
            {
                var text = f.Text.InUs(maker.Morning.Zone);
                Assert.Contains(
                    "extension service or a licensed applicator",
                    text,
                    StringComparison.Ordinal
                );
                Assert.DoesNotContain("fungicide", text, StringComparison.OrdinalIgnoreCase);
                Assert.DoesNotContain("spray", text, StringComparison.OrdinalIgnoreCase);
            }
        );
    }

    private static LawnYearMaker Weather(
        GrassKind grass,
        double humidity,
        double meanC,
        double minC
    )
    {
        var maker = new LawnYearMaker(new LocalDate(2026, 6, 16));
        maker.Morning.Lawn = maker.Morning.Lawn with { Grass = grass };
        foreach (var days in new[] { maker.Past, maker.Ahead })
        {
            Array.Fill(days.HumidityPercent, humidity);
            Array.Fill(days.AirMeanC, meanC);
            Array.Fill(days.AirMinC, minC);
        }

        return maker;
    }
}
