using CsCheck;
using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Advice;

public sealed class WaterTaskTests
{
    // Tall fescue on loam: 28 mm held, of which 0.4 + 0.04 (5 - 4 x 0.95) = 0.448 easily. May: 3.8 mm a day.
    // Soaked six days ago, 3.8 a day since: the deficit is 22.8 mm less what stress held back.
    [Fact]
    public void A_dry_watered_lawn_is_told_to_water_and_how_deep()
    {
        var maker = Watered(soakedDaysAgo: 4);
        var plan = WaterPlan.Of(maker.Build(), maker.Date);
        Assert.Equal(28, plan.Water.Zone.TotalMm, 1e-9);
        // Four days with the day of the soaking itself left out: 3 to 4 x 3.8 mm.
        Assert.InRange(plan.Water.NowMm, 3 * 3.8 - 0.1, 4 * 3.8 + 0.1);
        Assert.True(plan.Waterings.Length >= 2);
        // What is given covers what is used: within one watering of the week's demand.
        Assert.InRange(plan.GiveMm, plan.DemandMm - 13, plan.DemandMm + plan.Water.NowMm);
        var task = Assert.Single(WaterTask.Of(maker.Build()));
        Assert.Equal(
            new DeedOffer(JournalKind.Watered, maker.Date, plan.Waterings[0].DepthMm),
            task.Offer
        );
        Assert.StartsWith("Water ", task.Title.InUs(maker.Morning.Zone), StringComparison.Ordinal);
        Assert.Contains(
            task.Cautions,
            c => c.Format.Contains("restrictions come first", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Only_the_owners_days_are_used()
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker.Morning.Lawn = maker.Morning.Lawn with
        {
            WaterDays = [IsoDayOfWeek.Thursday, IsoDayOfWeek.Sunday],
        };
        var plan = WaterPlan.Of(maker.Build(), maker.Date);
        Assert.NotEmpty(plan.Waterings);
        Assert.All(
            plan.Waterings,
            w => Assert.Contains(w.Date.DayOfWeek, maker.Morning.Lawn.WaterDays)
        );
    }

    [Fact]
    public void No_watering_before_likely_rain()
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker
            .Morning.Set(WeatherColumn.PrecipitationMm, 28, 34, 4)
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 28, 34, 80);
        var plan = WaterPlan.Of(maker.Build(), maker.Date);
        Assert.DoesNotContain(plan.Waterings, w => w.Date <= maker.Date.PlusDays(1));
        Assert.Contains((maker.Date, NoWatering.RainAhead), plan.Held);
    }

    [Fact]
    public void Rain_that_is_not_likely_is_not_waited_for()
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker
            .Morning.Set(WeatherColumn.PrecipitationMm, 28, 34, 4)
            .Set(WeatherColumn.PrecipitationProbabilityPercent, 28, 34, 30);
        Assert.Equal(maker.Date, WaterPlan.Of(maker.Build(), maker.Date).Waterings[0].Date);
    }

    [Fact]
    public void No_watering_on_freezing_nights()
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker.Morning.Set(WeatherColumn.AirTemperatureC, 2, 7, -1);
        var plan = WaterPlan.Of(maker.Build(), maker.Date);
        Assert.Contains((maker.Date, NoWatering.Freezing), plan.Held);
        Assert.DoesNotContain(plan.Waterings, w => w.Date == maker.Date);
    }

    [Theory]
    [InlineData("05:30", 0, "Wed May 13")]
    [InlineData("06:30", 0, "Thu May 14")]
    [InlineData("20:00", -1, "Wed May 13")]
    public void The_first_watering_can_still_be_over_by_dawn(string now, int day, string first)
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker.Morning.Now = maker.Morning.At(now, day);
        Assert.StartsWith(
            first,
            Assert.Single(WaterTask.Of(maker.Build())).Steps[0].InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    // By hand: half an inch an hour is 12.7 mm/h, so 12.7 mm takes an hour; loam takes in as much: one go.
    [Fact]
    public void Minutes_end_by_sunrise()
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker.Morning.Lawn = maker.Morning.Lawn with { SprinklerMmH = 12.7 };
        var plan = WaterPlan.Of(maker.Build(), maker.Date);
        var minutes = (int)Math.Ceiling(plan.Waterings[0].DepthMm / 12.7 * 60);
        var step = Assert.Single(WaterTask.Of(maker.Build())).Steps[0].InUs(maker.Morning.Zone);
        Assert.Contains($"{minutes} minutes", step, StringComparison.Ordinal);
        // Little Rock on 13 May: sunrise about 6:03; an hour before that, on the quarter.
        Assert.Contains("starting by 5", step, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fast_sprinkler_on_clay_is_told_in_goes()
    {
        var maker = Watered(soakedDaysAgo: 4);
        maker.Morning.Lawn = maker.Morning.Lawn with { SprinklerMmH = 40, Soil = SoilTexture.Clay };
        Assert.Contains(
            "goes of",
            Assert.Single(WaterTask.Of(maker.Build())).Steps[0].InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_soaked_lawn_needs_no_sprinkler()
    {
        var maker = Watered(soakedDaysAgo: 0).Coming(d => d.Et0Mm, 0.5);
        maker.Past.RainMm[^1] = 40;
        maker.Morning[WeatherColumn.AirTemperatureC].Fill(12);
        var task = Assert.Single(WaterTask.Of(With(maker, et0PerHour: 0.02)));
        Assert.Equal("Leave the sprinklers off this week", task.Title.InUs(maker.Morning.Zone));
        Assert.Null(task.Offer);
    }

    [Fact]
    public void Waterings_that_nobody_wrote_down_are_said_to_be_unknown()
    {
        var maker = new LawnYearMaker();
        maker.Morning.Lawn = maker.Morning.Lawn with { Irrigated = true };
        var task = Assert.Single(WaterTask.Of(maker.Build()));
        Assert.Contains(
            "no watering is written down",
            task.Why.Evidence.InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
        Assert.Contains(
            task.Steps,
            s => s.Format.StartsWith("Write down", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Who_never_waters_hears_of_it_only_in_a_drought()
    {
        var dry = new LawnYearMaker();
        var task = Assert.Single(WaterTask.Of(dry.Build()));
        Assert.Contains("Dry spell", task.Title.InUs(dry.Morning.Zone), StringComparison.Ordinal);
        var wet = new LawnYearMaker().Before(d => d.RainMm, 6);
        Assert.Empty(WaterTask.Of(wet.Build()));
    }

    [Fact]
    public void Grass_at_rest_gets_no_water()
    {
        var maker = Watered(soakedDaysAgo: 4).Before(d => d.Soil10CmC, 5);
        maker.Morning.Lawn = maker.Morning.Lawn with { Grass = GrassKind.Bermuda };
        Assert.Empty(WaterTask.Of(maker.Build()));
    }

    [Fact]
    public void Without_weather_nothing_is_said()
    {
        var maker = Watered(soakedDaysAgo: 4)
            .Before(d => d.Et0Mm, double.NaN)
            .Coming(d => d.Et0Mm, double.NaN);
        Assert.Empty(WaterTask.Of(With(maker, et0PerHour: double.NaN)));
    }

    [Fact]
    public void The_range_holds_the_reckoned_deficit_and_a_soaking_closes_it()
    {
        var water = LawnWater.Of(new LawnYearMaker().Build());
        Assert.All(
            Enumerable.Range(0, water.Count),
            i =>
                Assert.InRange(
                    water.DeficitMm[i],
                    water.LeastDeficitMm[i] - 1e-9,
                    water.MostDeficitMm[i] + 1e-9
                )
        );
        var soaked = new LawnYearMaker();
        soaked.Past.RainMm[^1] = 60;
        var after = LawnWater.Of(soaked.Build());
        Assert.Equal((0.0, 0.0), (after.NowLeastMm, after.NowMostMm));
    }

    // The main job: who follows the plan for two months of dry weather keeps the lawn from stress and gives no more
    // than it uses.
    [Theory]
    [InlineData(SoilTexture.Sand, GrassKind.Bermuda)]
    [InlineData(SoilTexture.Loam, GrassKind.TallFescue)]
    [InlineData(SoilTexture.Clay, GrassKind.KentuckyBluegrass)]
    public void Who_follows_the_plan_keeps_the_lawn_well_and_wastes_nothing(
        SoilTexture soil,
        GrassKind grass
    )
    {
        var first = new LocalDate(2026, 6, 1);
        var journal = new LawnRecord([new(0, JournalKind.Watered, first.PlusDays(-1), 60)]);
        double given = 0,
            used = 0;
        for (var day = 0; day < 60; day++)
        {
            var maker = new LawnYearMaker(first.PlusDays(day));
            maker.Morning.Lawn = maker.Morning.Lawn with
            {
                Irrigated = true,
                Soil = soil,
                Grass = grass,
            };
            maker.Morning.Record = journal;
            var plan = WaterPlan.Of(maker.Build(), maker.Date);
            Assert.True(
                plan.Water.NowMm <= plan.Water.Zone.EasyMm(plan.Days[0].DemandMm) + 1e-9,
                $"{maker.Date}: {plan.Water.NowMm} mm missing"
            );
            if (plan.Waterings.FirstOrDefault() is { DepthMm: > 0 } next && next.Date == maker.Date)
            {
                given += next.DepthMm;
                journal = new([
                    .. journal.Entries,
                    new(0, JournalKind.Watered, maker.Date, next.DepthMm),
                ]);
            }

            used += plan.Days[0].DemandMm;
        }

        Assert.InRange(given, used - 30, used + 1e-6);
    }

    [Fact]
    public void No_plan_waters_on_a_wrong_day_a_freezing_night_or_more_than_the_soil_holds() =>
        Gen.Select(
                Gen.Double[0, 12].Array[7],
                Gen.Double[0, 100].Array[7],
                Gen.Double[-5, 20].Array[7],
                Gen.Enum<IsoDayOfWeek>().Array[0, 4],
                Gen.Int[0, 20],
                Gen.Enum<SoilTexture>()
            )
            .Sample(
                (rain, chance, cold, days, soaked, soil) =>
                {
                    var maker = Watered(soaked);
                    maker.Morning.Lawn = maker.Morning.Lawn with
                    {
                        Soil = soil,
                        WaterDays = [.. days.Where(d => d != IsoDayOfWeek.None)],
                    };
                    for (var day = 0; day < 3; day++)
                    {
                        maker
                            .Morning.Set(
                                WeatherColumn.PrecipitationMm,
                                24 * day + 10,
                                24 * day + 12,
                                rain[day] / 2
                            )
                            .Set(
                                WeatherColumn.PrecipitationProbabilityPercent,
                                24 * day + 10,
                                24 * day + 12,
                                chance[day]
                            )
                            .Set(
                                WeatherColumn.AirTemperatureC,
                                24 * day + 2,
                                24 * day + 6,
                                cold[day]
                            );
                    }

                    var plan = WaterPlan.Of(maker.Build(), maker.Date);
                    foreach (var watering in plan.Waterings)
                    {
                        var day = plan.Days.Single(d => d.Date == watering.Date);
                        Assert.True(WaterPlan.Allowed(maker.Morning.Lawn, watering.Date));
                        Assert.True(day.MinC > WaterPlan.FreezingC);
                        Assert.InRange(
                            watering.DepthMm,
                            Math.Min(WaterPlan.LeastMm, plan.EasyMm / 2),
                            plan.Water.Zone.TotalMm
                        );
                    }

                    Assert.True(plan.EndLeastMm <= plan.EndMm + 1e-9);
                    Assert.True(plan.EndMm <= plan.EndMostMm + 1e-9);
                },
                iter: 60
            );

    [Fact]
    public void With_nothing_known_of_this_year_the_plan_says_so_or_nothing()
    {
        var maker = new LawnYearMaker(pastDays: 0);
        Assert.Empty(WaterTask.Of(maker.Build()));
        maker.Morning.Lawn = maker.Morning.Lawn with { Irrigated = true };
        Assert.Contains(
            "no watering is written down",
            Assert.Single(WaterTask.Of(maker.Build())).Why.Evidence.InUs(maker.Morning.Zone),
            StringComparison.Ordinal
        );
        Assert.Single(MowingTask.Of(maker.Build()));
        Assert.Empty(DiseaseWeather.Of(maker.Build()));
    }

    private static LawnYear With(LawnYearMaker maker, double et0PerHour)
    {
        var year = maker.Build();
        var et0 = new double[year.Site.Count];
        Array.Fill(et0, et0PerHour);
        return year with { Site = year.Site with { Et0Mm = et0 } };
    }

    private static LawnYearMaker Watered(int soakedDaysAgo)
    {
        var maker = new LawnYearMaker();
        maker.Morning.Lawn = maker.Morning.Lawn with { Irrigated = true };
        return maker.Journal(JournalKind.Watered, soakedDaysAgo, 60);
    }
}
