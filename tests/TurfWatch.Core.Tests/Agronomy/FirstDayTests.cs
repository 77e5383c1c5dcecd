using NodaTime;
using TurfWatch.Core.Agronomy;
using Xunit;

namespace TurfWatch.Core.Tests.Agronomy;

public sealed class FirstDayTests
{
    private static readonly LocalDate Today = new(2026, 7, 1);
    private static readonly LocalDate NewYear = new(2026, 12, 31);

    /// <summary>Day of the year on which the falling wave at 10 cm passes a temperature: solved by hand for T = m + A sin(2π(d - lag - 105)/365).</summary>
    private static double FallsOn(double celsius, double meanC, double amplitudeK) =>
        105
        + MadeOutlook.SoilLagDays
        + (365 / 2.0)
        - (
            365
            / (2 * Math.PI)
            * Math.Asin((celsius - meanC) / (MadeOutlook.SoilDamping * amplitudeK))
        );

    [Theory]
    [InlineData(23.9)]
    [InlineData(21.1)]
    [InlineData(12.8)]
    [InlineData(10)]
    public void A_sine_passes_a_temperature_on_the_day_that_algebra_gives(double celsius)
    {
        var outlook = MadeOutlook.Sine(Today, courses: 1, soilErrorC: 0);

        var spread = FirstDay.SoilMeanBelow(outlook, Today, NewYear, celsius, days: 1);

        var day = spread.Median!.Value.DayOfYear;
        Assert.Equal(Math.Ceiling(FallsOn(celsius, 15, 12)), day);
        // A mean over five days trails two days behind on a slope that is nearly straight.
        var trailing = FirstDay.SoilMeanBelow(outlook, Today, NewYear, celsius);
        Assert.InRange(trailing.Median!.Value.DayOfYear - FallsOn(celsius, 15, 12), 2, 3.1);
    }

    [Fact]
    public void Soil_at_4_in_comes_later_than_the_air_by_the_lag_of_its_wave()
    {
        // At the mean of the year damping does not matter: the wave is 2.64 days late (Hillel 1982, α 5e-7 m²/s).
        var outlook = MadeOutlook.Sine(Today, courses: 1, soilErrorC: 0);
        var air = FirstDay.Of(outlook, Today, NewYear, (c, i) => c.AirMeanC[i] < 15);
        var soil = FirstDay.Of(outlook, Today, NewYear, (c, i) => c.Soil10CmC[i] < 15);

        Assert.Equal(105 + 183, air.Median!.Value.DayOfYear);
        Assert.InRange(Period.DaysBetween(air.Median!.Value, soil.Median!.Value), 2, 3);
    }

    [Fact]
    public void Warm_and_cold_years_spread_the_date_by_their_temperature_over_the_slope()
    {
        // Eleven courses at -2, -1.6 … +2 K: 10 in 100 is the second, 90 in 100 the last but one (Hyndman and Fan 1996, definition 7).
        var outlook = MadeOutlook.Sine(Today, courses: 11, soilErrorC: 0);

        var spread = FirstDay.SoilMeanBelow(outlook, Today, NewYear, 18, days: 1);

        Assert.Equal(Math.Ceiling(FallsOn(18, 13.4, 12)), spread.Earliest!.Value.DayOfYear);
        Assert.Equal(Math.Ceiling(FallsOn(18, 15, 12)), spread.Median!.Value.DayOfYear);
        Assert.Equal(Math.Ceiling(FallsOn(18, 16.6, 12)), spread.Latest!.Value.DayOfYear);
        Assert.Equal((11, 0), (spread.Courses, spread.Without));
    }

    [Fact]
    public void The_models_error_widens_the_range_but_leaves_the_median()
    {
        var plain = MadeOutlook.Sine(Today, soilErrorC: 0);
        var narrow = FirstDay.SoilMeanBelow(plain, Today, NewYear, 18);
        var wide = FirstDay.SoilMeanBelow(plain with { SoilErrorC = 2 }, Today, NewYear, 18);

        Assert.True(wide.Earliest < narrow.Earliest);
        Assert.True(wide.Latest > narrow.Latest);
        Assert.InRange(Period.DaysBetween(narrow.Median!.Value, wide.Median!.Value), -1, 1);
    }

    [Fact]
    public void Rising_soil_is_found_too()
    {
        var winter = new LocalDate(2026, 1, 10);
        var outlook = MadeOutlook.Sine(winter, courses: 1, soilErrorC: 0);

        var spread = FirstDay.SoilMeanAbove(outlook, winter, new(2026, 6, 30), 12.8, days: 1);

        var exact =
            105
            + MadeOutlook.SoilLagDays
            + (365 / (2 * Math.PI) * Math.Asin((12.8 - 15) / (MadeOutlook.SoilDamping * 12)));
        Assert.Equal(Math.Ceiling(exact), spread.Median!.Value.DayOfYear);
    }

    [Fact]
    public void A_course_without_the_event_counts_as_later_than_all()
    {
        // Lowest soil of a course is its mean - 11.47 °C: of means 13, 13.2 … 17 those up to 15.4, thirteen of 21, fall below 4.
        var outlook = MadeOutlook.Sine(Today, courses: 21, soilErrorC: 0);

        var spread = FirstDay.SoilMeanBelow(outlook, Today, new(2027, 5, 31), 4, days: 1);

        Assert.Equal((21, 8), (spread.Courses, spread.Without));
        Assert.NotNull(spread.Earliest);
        Assert.NotNull(spread.Median);
        Assert.Null(spread.Latest);
    }

    [Fact]
    public void What_has_come_is_one_date_in_all_courses()
    {
        var late = new LocalDate(2026, 12, 1);
        var outlook = MadeOutlook.Sine(late, soilErrorC: 0);

        var spread = FirstDay.Of(outlook, Today, NewYear, (c, i) => c.AirMeanC[i] < 15);

        Assert.Equal(new(2026, 10, 15), spread.Earliest);
        Assert.Equal(spread.Earliest, spread.Latest);
    }

    [Fact]
    public void Without_courses_only_the_past_can_be_told()
    {
        var late = new LocalDate(2026, 12, 1);
        var outlook = MadeOutlook.Sine(late, courses: 0, soilErrorC: 0);

        Assert.Equal(
            DateSpread.On(new(2026, 10, 15)),
            FirstDay.Of(outlook, Today, NewYear, (c, i) => c.AirMeanC[i] < 15)
        );
        Assert.Equal(
            DateSpread.Unknown,
            FirstDay.Of(outlook, Today, NewYear, (c, i) => c.AirMeanC[i] < 4)
        );
    }

    [Fact]
    public void What_is_not_known_of_the_year_so_far_is_borrowed_from_past_years()
    {
        // Climate alone in December: past years say when the air fell below its mean (day 288, 15 October), which today's date cannot.
        var late = new LocalDate(2026, 12, 1);
        var bare = MadeOutlook.Sine(late, courses: 3, yearSpreadK: 0, pastDays: 0);
        var before = MadeOutlook.Sine(late, courses: 1, pastDays: 200).Past;
        var borrowed = bare with
        {
            Traces = [.. bare.Traces.Select(t => t with { Before = before })],
        };
        DateSpread Of(SeasonOutlook o) =>
            FirstDay.Of(o, Today, NewYear, (c, i) => c.AirMeanC[i] < 15);

        Assert.Equal(late, Of(bare).Median);
        Assert.Equal(new LocalDate(2026, 10, 15), Of(borrowed).Median);

        // What is known of this year lies over what was borrowed.
        var known = borrowed with
        {
            Past = MadeOutlook.Days(new(2026, 9, 20), 72, _ => 14, _ => 14),
        };
        Assert.Equal(new LocalDate(2026, 9, 20), Of(known).Median);
    }

    [Fact]
    public void Predicates_may_look_back_over_today()
    {
        var outlook = MadeOutlook.Sine(Today, courses: 2, pastDays: 10, soilErrorC: 0);

        var spread = FirstDay.Of(
            outlook,
            Today,
            NewYear,
            (c, i) => i >= 5 && c.Date(i - 5) < Today && !double.IsNaN(c.AirMeanC[i - 5])
        );

        Assert.Equal(Today, spread.Earliest);
    }

    [Fact]
    public void Dates_out_of_order_are_refused()
    {
        var outlook = MadeOutlook.Sine(Today);
        var error = Assert.Throws<ArgumentOutOfRangeException>(() =>
            FirstDay.Of(outlook, NewYear, Today, (_, _) => true)
        );
        Assert.Contains("lies before the first", error.Message, StringComparison.Ordinal);
    }
}
