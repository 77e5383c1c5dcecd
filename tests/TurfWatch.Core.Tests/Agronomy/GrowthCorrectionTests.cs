using CsCheck;
using NodaTime;
using TurfWatch.Core.Advice;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Tests.Advice;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class GrowthCorrectionTests
{
    [Fact]
    public void Without_a_record_the_model_stands_with_its_error()
    {
        Assert.Equal(GrowthCorrection.None, GrowthCorrection.Of([]));
        Assert.Equal((1, 0.35, false), Parts(GrowthCorrection.None));
    }

    // By hand, conjugate normal update: prior precision 1/0.35² = 8.163. One measured stretch of 4 cm against 2.667
    // reckoned: y = ln 1.5 = 0.4055; its variance 0.2² + (0.7/4)² + 0.1² = 0.0806, precision 12.40.
    // Mean 0.4055 x 12.40/20.57 = 0.2445, factor 1.277; deviation 1/√20.57 = 0.2205.
    [Fact]
    public void One_measured_height_pulls_as_Bayes_has_it()
    {
        var growth = GrowthCorrection.Of([new(4 / 1.5, 4)]);
        Assert.Equal(1.277, growth.Factor, 0.002);
        Assert.Equal(0.2205, growth.Error, 0.0005);
    }

    [Theory]
    [InlineData(0.6)]
    [InlineData(1.0)]
    [InlineData(1.7)]
    public void Measured_records_converge_on_the_lawns_own_rate(double truth)
    {
        // Growth of 2 to 6 cm, read with the errors of a ruler and a mower: made, reproducible.
        var random = new Random(7);
        var record = Enumerable
            .Range(0, 30)
            .Select(_ =>
            {
                var reckoned = 2 + (4 * random.NextDouble());
                var seen = (truth * reckoned) + (0.7 * Normal(random));
                return new GrowthObservation(reckoned, seen);
            })
            .ToList();
        var after5 = GrowthCorrection.Of(record.Take(5));
        var after30 = GrowthCorrection.Of(record);
        Assert.Equal(truth, after30.Factor, 0.1 * truth);
        Assert.True(after30.Error < after5.Error && after5.Error < GrowthCorrection.PriorError);
        Assert.InRange(after30.Error, 0.09, 0.15);
    }

    // Who mows when told gives back what the model said; who mows on Saturdays gives back his week.
    [Fact]
    public void Mowing_dates_without_a_measured_height_say_nothing()
    {
        var maker = new LawnYearMaker();
        for (var back = 60; back >= 4; back -= 4)
        {
            maker.Journal(JournalKind.Mowed, back, 7.62);
        }

        Assert.Equal(GrowthCorrection.None, Morning.Of(maker.Build()).Need.Growth);
    }

    [Fact]
    public void The_wildest_record_stays_within_bounds() =>
        Gen.Select(Gen.Double[-5, 40], Gen.Double[-200, 200])
            .Select((r, s) => new GrowthObservation(r, s))
            .List[0, 40]
            .Sample(record =>
            {
                var growth = GrowthCorrection.Of(record);
                Assert.InRange(
                    growth.Factor,
                    GrowthCorrection.LeastFactor,
                    GrowthCorrection.MostFactor
                );
                Assert.InRange(growth.Error, 0.09, GrowthCorrection.PriorError);
            });

    [Fact]
    public void One_slip_of_the_pen_moves_a_long_record_little()
    {
        var sound = Enumerable.Repeat(new GrowthObservation(4, 4), 12).ToList();
        var slipped = GrowthCorrection.Of([.. sound, new(4, 80)]);
        Assert.InRange(slipped.Factor, 0.95, 1.2);
    }

    // Tall fescue at 20 °C, watered and lit: 0.45 cm a day in the book. Cut to 7.62, found at 12.87 after ten days:
    // 5.25 cm, 0.525 a day, 7/6 of it.
    [Fact]
    public void The_journal_is_read_from_cut_to_height_before_the_next_cut()
    {
        var maker = new LawnYearMaker();
        for (var back = 61; back >= 1; back -= 10)
        {
            maker.Journal(JournalKind.Mowed, back, 7.62);
        }

        maker.Morning.Record = new([
            .. maker.Morning.Record.Entries.Select(e => e with { HeightBeforeCm = 14.62 }),
        ]);
        var year = maker.Build();
        var growing = GrowingGrass.On(year.Lawn, year.Date, 19);
        var growth = GrowthOfLawn.Correction(
            year.Lawn,
            growing,
            year.Record,
            year.Outlook.Past,
            year.Date
        );
        Assert.Equal(6, growth.Stretches);
        Assert.Equal(7.0 / 6, growth.Factor, 0.03);
    }

    [Fact]
    public void Stretches_of_another_grass_say_nothing_of_this_one()
    {
        // Bermuda led in the warm soil of the past; now rye leads.
        var maker = new LawnYearMaker(new LocalDate(2026, 11, 10)).Before(d => d.Soil10CmC, 28);
        maker.Morning.Lawn = maker.Morning.Lawn with
        {
            Grass = GrassKind.Bermuda,
            Overseed = GrassKind.PerennialRyegrass,
        };
        maker.Journal(JournalKind.Mowed, 40, 3).Journal(JournalKind.Mowed, 33, 3);
        maker.Morning.Record = new([
            .. maker.Morning.Record.Entries.Select(e => e with { HeightBeforeCm = 6 }),
        ]);
        var year = maker.Build();
        var rye = GrowingGrass.On(year.Lawn, year.Date, 14);
        Assert.True(rye.IsOverseed);
        Assert.False(
            GrowthOfLawn
                .Correction(year.Lawn, rye, year.Record, year.Outlook.Past, year.Date)
                .FromRecord
        );
    }

    [Fact]
    public void A_faster_lawn_is_due_sooner_and_in_a_narrower_range()
    {
        var maker = new MorningMaker().Mowed(1);
        maker[WeatherColumn.AirTemperatureC].Fill(20);
        Array.Fill(maker.Shortwave, 200);
        var morning = maker.Build();
        MowingNeed Need(GrowthCorrection growth) =>
            MowingNeed.Of(
                morning.Lawn,
                morning.Growing,
                morning.Record,
                morning.Site,
                morning.Now,
                morning.Date,
                correction: growth
            );

        var book = Need(GrowthCorrection.None);
        var own = Need(new(1.5, 0.1, 20));
        Assert.True(own.DueLatest < book.DueLatest);
        Assert.True(
            Period.DaysBetween(own.DueEarliest!.Value, own.DueLatest!.Value)
                < Period.DaysBetween(book.DueEarliest!.Value, book.DueLatest!.Value)
        );
        Assert.Equal(1.5, own.RateCmPerDay / book.RateCmPerDay, 1e-9);
    }

    private static (double, double, bool) Parts(GrowthCorrection growth) =>
        (growth.Factor, growth.Error, growth.FromRecord);

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()))
        * Math.Cos(2 * Math.PI * random.NextDouble());
}
