using NodaTime;
using Xunit;

namespace TurfWatch.Core.Tests;

public sealed class PlaceClimateTests
{
    [Fact]
    public void A_day_of_the_year_is_the_mean_of_the_fifteen_days_about_it_over_all_years()
    {
        // 10 in every even year, 20 in every odd one, and one day of 160 in one of the ten years.
        var climate = PlaceClimateBuilder.Build([
            .. MadeClimate.Days(
                2010,
                2019,
                d =>
                    d == new LocalDate(2013, 5, 20) ? 160
                    : d.Year % 2 == 0 ? 10
                    : 20
            ),
        ])!;

        // By hand: 150 days in the window, 149 of which make 15 with the odd one's 20 replaced by 160.
        Assert.Equal(15 + (140 / 150.0), On(climate, 5, 20), 1e-9);
        Assert.Equal(15 + (140 / 150.0), On(climate, 5, 13), 1e-9);
        Assert.Equal(15 + (140 / 150.0), On(climate, 5, 27), 1e-9);
        Assert.Equal(15, On(climate, 5, 12), 1e-9);
        Assert.Equal(15, On(climate, 5, 28), 1e-9);
        Assert.Equal((2010, 2019, 10), (climate.FirstYear, climate.LastYear, climate.Years));
        Assert.Equal(2, climate.RainMm[0], 1e-9);
    }

    [Fact]
    public void The_window_runs_over_new_year()
    {
        var climate = PlaceClimateBuilder.Build([
            .. MadeClimate.Days(2010, 2019, d => d.Month == 12 ? 15 : 0),
        ])!;

        Assert.Equal(15 * 7 / 15.0, On(climate, 1, 1), 1e-9);
        Assert.Equal(15 * 8 / 15.0, On(climate, 12, 31), 1e-9);
        Assert.Equal(0, On(climate, 1, 8), 1e-9);
    }

    [Fact]
    public void The_29th_of_February_weighs_as_often_as_it_comes()
    {
        // 2012 and 2016 are the leap years: 14 days in all ten years and one in two of them.
        var climate = PlaceClimateBuilder.Build([
            .. MadeClimate.Days(2010, 2019, d => d is { Month: 2, Day: 29 } ? 71 : 0),
        ])!;

        Assert.Equal(71 * 2 / 142.0, On(climate, 2, 29), 1e-9);
        Assert.Equal(71 * 2 / 142.0, On(climate, 3, 7), 1e-9);
        Assert.Equal(0, On(climate, 3, 8), 1e-9);
        Assert.Equal(59, PlaceClimate.IndexOf(new(2023, 3, 1)) - 1); // 28 Feb is 58, 29 Feb is 59
        Assert.Equal(365, PlaceClimate.IndexOf(new(2023, 12, 31)));
    }

    [Fact]
    public void Days_not_known_are_left_out_and_a_year_with_many_of_them_does_not_count()
    {
        var days = MadeClimate
            .Days(2010, 2020, _ => 10)
            .Select(d =>
                d.Date.Year == 2015 && d.Date.Month == 8
                    ? d with
                    {
                        MeanC = double.NaN,
                        MinC = double.NaN,
                    }
                : d.Date == new LocalDate(2016, 8, 1) ? d with { MaxC = double.NaN }
                : d
            )
            .ToList();
        var climate = PlaceClimateBuilder.Build(days)!;

        Assert.Equal(10, climate.Years);
        Assert.All(climate.MeanC, t => Assert.Equal(10, t, 1e-9));
        Assert.All(climate.MaxC, t => Assert.Equal(15, t, 1e-9));
        Assert.Equal(
            [2010, 2011, 2012, 2013, 2014, 2016, 2017, 2018, 2019],
            climate.ColdSeasons.Select(s => s.StartYear)
        );
        Assert.Null(PlaceClimateBuilder.Build([.. days.Where(d => d.Date.Year < 2020)]));
        Assert.Null(PlaceClimateBuilder.Build([]));
    }

    [Fact]
    public void A_cold_season_runs_from_July_to_June_and_zero_degrees_is_a_freeze()
    {
        var freezes = new Dictionary<LocalDate, double>
        {
            [new(2010, 11, 3)] = 0,
            [new(2011, 4, 2)] = -1,
            [new(2012, 1, 9)] = -4, // the first and only one of its winter, not a spring freeze of 2012
            [new(2013, 10, 5)] = 0.1, // no freeze
        };
        var seasons = PlaceClimateBuilder
            .Build([
                .. MadeClimate.Days(2010, 2020, _ => 15, d => freezes.GetValueOrDefault(d, 6)),
            ])!
            .ColdSeasons;

        Assert.Equal(10, seasons.Count);
        Assert.Equal(new(2010, new(2010, 11, 3), new(2011, 4, 2)), seasons[0]);
        Assert.Equal(new(2011, new(2012, 1, 9), new(2012, 1, 9)), seasons[1]);
        Assert.All(seasons.Skip(2), s => Assert.Null(s.FirstFreeze));
    }

    [Fact]
    public void It_survives_packing_to_a_hundredth()
    {
        var climate = MadeClimate.Freezes([
            .. Enumerable
                .Range(0, 19)
                .Select(i => i % 4 == 0 ? null : ((int, int)?)(120 + i, 250 - i)),
        ]) with
        {
            MeanC = [.. Enumerable.Range(0, 366).Select(i => -31.237 + (i / 7.0))],
            RainMm = [double.NaN, .. Enumerable.Range(1, 365).Select(i => i / 100.0)],
        };
        var bytes = climate.Pack();
        var back = PlaceClimate.Unpack(bytes);

        Assert.InRange(bytes.Length, 2928, 3200);
        Assert.Equal(
            (climate.FirstYear, climate.LastYear, climate.Years),
            (back.FirstYear, back.LastYear, back.Years)
        );
        Assert.Equal(climate.ColdSeasons, back.ColdSeasons);
        for (var i = 0; i < PlaceClimate.Days; i++)
        {
            Assert.Equal(climate.MeanC[i], back.MeanC[i], 0.0051);
            Assert.Equal(climate.MinC[i], back.MinC[i], 0.0051);
            Assert.Equal(climate.MaxC[i], back.MaxC[i], 0.0051);
        }

        Assert.True(double.IsNaN(back.RainMm[0]));
        Assert.Equal(3.65, back.RainMm[365], 1e-9);
    }

    [Fact]
    public void Bytes_of_another_version_or_cut_short_are_refused()
    {
        var bytes = MadeClimate.Wave().Pack();
        byte[] other = [.. bytes];
        other[0] = 9;

        var e = Assert.Throws<FormatException>(() => PlaceClimate.Unpack(other));
        Assert.Contains("version 9", e.Message, StringComparison.Ordinal);
        Assert.Throws<FormatException>(() => PlaceClimate.Unpack(bytes[..^1]));
        Assert.Throws<FormatException>(() => PlaceClimate.Unpack([]));
    }

    private static double On(PlaceClimate climate, int month, int day) =>
        climate.MeanC[PlaceClimate.IndexOf(new(2000, month, day))];
}
