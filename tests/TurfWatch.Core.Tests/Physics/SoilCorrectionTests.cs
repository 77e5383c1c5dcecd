using NodaTime;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

public class SoilCorrectionTests
{
    private const int Days = 240;
    private const int FirstReadingDay = 90;

    private static SiteConditions Run(SurfaceClass surface, WeatherSeries weather) =>
        SiteModel.Run(MadeWeather.Site, surface, weather, weather.LastHourEnd).Conditions;

    [Theory]
    [InlineData(12)]
    [InlineData(16)]
    [InlineData(20)]
    public void A_reading_a_week_takes_a_third_off_a_known_slow_error(int localHour)
    {
        // Truth of our own making: 1.5 °C warmer, waving by 0.7 °C in 90 days, with a swing a fifth wider. The target
        // of a third is our own.
        var weather = MadeWeather.Hours(Days * 24);
        var model = Run(MadeWeather.Turf, weather);
        var truth = (double[])model.SoilTemperature10CmC.Clone();
        for (var i = 24; i < truth.Length; i++)
        {
            var day = model.SoilTemperature10CmC.AsSpan(i - 23, 24);
            double mean = 0;
            foreach (var t in day)
            {
                mean += t / 24;
            }

            truth[i] +=
                1.5 + (0.7 * Math.Sin(2 * Math.PI * i / (90 * 24))) + (0.2 * (day[^1] - mean));
        }

        AThirdLess(model, truth, localHour);
    }

    [Fact]
    public void A_reading_a_week_takes_a_third_off_the_error_of_a_wrongly_told_lawn()
    {
        // The truth is another lawn under the same weather: half shaded, on clay.
        var weather = MadeWeather.Hours(Days * 24);
        var shaded = MadeWeather.Turf with { Shade = Shade.Partial, Soil = SoilTexture.Clay };
        AThirdLess(Run(MadeWeather.Turf, weather), Run(shaded, weather).SoilTemperature10CmC, 20);
    }

    private static void AThirdLess(SiteConditions model, double[] truth, int localHour)
    {
        var readings = Enumerable
            .Range(0, (Days - FirstReadingDay) / 7)
            .Select(week => ((FirstReadingDay + (7 * week)) * 24) + localHour + 5)
            .Where(i => i < truth.Length)
            .Select(i => new SoilReading(model.HourEnd(i), truth[i]))
            .ToList();
        var corrected = SoilCorrection.Apply(model, readings);
        var before = DailyRmse(model, truth);
        Assert.True(before > 0.7, $"the two differ by {before:F2} °C only: nothing to mend");
        Assert.InRange(DailyRmse(corrected, truth), 0, before * 2 / 3);
        Assert.Equal(readings.Count, corrected.Readings.Count);
    }

    [Fact]
    public void A_first_reading_is_weighed_as_a_scalar_Kalman_filter_weighs_it()
    {
        // Gelb 1974, ch. 4: gain = P/(P + R), here (1.0² + 1.0²)/(1.0² + 1.0² + 0.5²) = 0.8889; worked by hand.
        var run = Flat(48, 10);
        var corrected = SoilCorrection.Apply(run, [new(run.HourEnd(24), 12)]);
        Assert.Equal(10, corrected.SoilTemperature10CmC[23]);
        Assert.Equal(10 + (2 * 0.88889), corrected.SoilTemperature10CmC[24], 1e-3);
        Assert.Equal(10 + (2 * 0.88889), corrected.SoilTemperature5CmC[24], 1e-3);

        // A day later the fast share has faded by exp(-1/3), the slow one by exp(-1/60).
        var share = 2 * 0.88889 / 2;
        var later = Flat(24 * 3, 10);
        Assert.Equal(
            10 + (share * (Math.Exp(-1 / 3.0) + Math.Exp(-1 / 60.0))),
            SoilCorrection.Apply(later, [new(later.HourEnd(24), 12)]).SoilTemperature10CmC[48],
            1e-3
        );
    }

    [Fact]
    public void The_doubt_shrinks_with_a_reading_and_grows_back()
    {
        var run = Flat(60 * 24, 10);
        var corrected = SoilCorrection.Apply(run, [new(run.HourEnd(24), 10.5)]);
        var sd = corrected.SoilTemperatureStdDevC;
        Assert.Equal(1.3, sd[23]);
        Assert.InRange(sd[24], 0.5, 0.8);
        Assert.True(sd[24 * 8] > sd[24]);
        Assert.InRange(sd[^1], 1.2, 1.3);
    }

    [Fact]
    public void A_reading_at_an_unsure_hour_counts_less_where_the_soil_changes_fast()
    {
        var run = Flat(48, 10);
        for (var i = 0; i < 48; i++)
        {
            run.SoilTemperature10CmC[i] = 10 + (0.5 * i);
        }

        var at = run.HourEnd(24);
        var sure = SoilCorrection.Apply(run, [new(at, 24)]);
        var unsure = SoilCorrection.Apply(run, [new(at, 24, HoursUnsure: 3)]);
        Assert.True(sure.SoilTemperature10CmC[24] > unsure.SoilTemperature10CmC[24] + 0.2);
        Assert.True(unsure.SoilTemperature10CmC[24] > run.SoilTemperature10CmC[24]);
    }

    [Fact]
    public void Readings_that_cannot_be_true_or_lie_outside_the_run_change_nothing()
    {
        var run = Flat(48, 10);
        var at = run.HourEnd(24);
        Assert.Same(run, SoilCorrection.Apply(run, []));
        Assert.Same(run, SoilCorrection.Apply(run, [new(at + Duration.FromDays(9), 12)]));
        Assert.Same(run, SoilCorrection.Apply(run, [new(at, double.NaN)]));
        var slip = SoilCorrection.Apply(run, [new(at, 61)]);
        Assert.Equal(run.SoilTemperature10CmC, slip.SoilTemperature10CmC);
        Assert.Empty(slip.Readings);
        Assert.Contains(
            "give °C",
            Assert
                .Throws<ArgumentOutOfRangeException>(() =>
                    SoilCorrection.Apply(run, [new(at, 300)])
                )
                .Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Readings_of_the_journal_lie_in_the_afternoon_and_never_after_now()
    {
        var zone = DateTimeZoneProviders.Tzdb["America/Chicago"];
        var record = new LawnRecord([
            new(1, JournalKind.SoilMeasured, new(2026, 4, 2), 11),
            new(2, JournalKind.Mowed, new(2026, 4, 3), 6),
            new(3, JournalKind.SoilMeasured, new(2026, 4, 4), null),
            new(4, JournalKind.SoilMeasured, new(2026, 4, 5), 12),
        ]);
        var now = Instant.FromUtc(2026, 4, 5, 12, 0);
        var readings = SoilReading.From(record, zone, now);
        Assert.Equal([Instant.FromUtc(2026, 4, 2, 21, 0), now], readings.Select(r => r.At));
        Assert.All(readings, r => Assert.Equal(3, r.HoursUnsure));
    }

    [Fact]
    public void A_reading_with_its_hour_lies_there_and_is_surer_of_it()
    {
        var zone = DateTimeZoneProviders.Tzdb["America/Chicago"];
        var record = new LawnRecord([
            new(1, JournalKind.SoilMeasured, new(2026, 4, 2), 11, new LocalTime(7, 30)),
        ]);
        var reading = Assert.Single(
            SoilReading.From(record, zone, Instant.FromUtc(2026, 4, 5, 12, 0))
        );
        // 7:30 in the morning under daylight time (UTC - 5 h).
        Assert.Equal(Instant.FromUtc(2026, 4, 2, 12, 30), reading.At);
        Assert.Equal(0.25, reading.HoursUnsure);
    }

    private static SiteConditions Flat(int hours, double soilC)
    {
        var run = Run(MadeWeather.Turf, MadeWeather.Hours(hours));
        Array.Fill(run.SoilTemperature5CmC, soilC);
        Array.Fill(run.SoilTemperature10CmC, soilC);
        Array.Fill(run.SoilTemperatureStdDevC, 1.3);
        return run;
    }

    private static double DailyRmse(SiteConditions model, double[] truth)
    {
        double squares = 0;
        var days = 0;
        for (var d = FirstReadingDay + 14; d < Days; d++, days++)
        {
            var error = Enumerable
                .Range(d * 24, 24)
                .Average(i => model.SoilTemperature10CmC[i] - truth[i]);
            squares += error * error;
        }

        return Math.Sqrt(squares / days);
    }
}
