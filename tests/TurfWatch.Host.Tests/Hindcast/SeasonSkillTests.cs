using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core.Physics;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Hindcast;
using Xunit;

namespace TurfWatch.Host.Tests.Hindcast;

/// <summary>
/// The trial tried: a station of our own whose measured soil is what the physics makes of its hours, so that the model has no
/// error and what is left is that of the method.
/// </summary>
public sealed partial class SeasonSkillTests : IDisposable
{
    private const int Years = 4;
    private static readonly Instant First = Instant.FromUtc(2019, 1, 1, 7, 0);
    private readonly string _folder = Directory.CreateTempSubdirectory("skill-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void With_a_perfect_model_the_dates_close_in_as_they_come_near()
    {
        Station();
        var (code, output, error) = Call("--station", _folder, "--skill");

        Assert.Equal((0, ""), (code, error));
        Assert.Contains("against measured RMSE 0.00", output, StringComparison.Ordinal);
        var parts = output.Split("  dormancy, below 12.8", StringSplitOptions.None);
        Assert.Equal(2, parts.Length);
        var leads = LeadLine().Matches(parts[1].Split("dormancy")[0]);
        Assert.Equal(["30", "14", " 7", " 0"], leads.Select(m => m.Groups[1].Value));
        var off = leads
            .Select(m => double.Parse(m.Groups[2].Value, CultureInfo.InvariantCulture))
            .ToArray();

        // The years differ by up to 1.5 K on a wave that falls by 0.12 K a day: a date from other years is off by days, one told on the day by hardly any.
        Assert.True(off[3] <= 1.5, $"{off[3]} days on the day");
        Assert.True(off[3] < off[0], $"{off[0]} days a month before");
        Assert.All(
            leads,
            m => Assert.True(int.Parse(m.Groups[3].Value, CultureInfo.InvariantCulture) >= 3)
        );
    }

    [Fact]
    public void A_hidden_year_says_nothing()
    {
        var days = Enumerable
            .Range(0, 1000)
            .Select(i => new Core.ClimateDay(new LocalDate(2019, 1, 1).PlusDays(i), 1, 0, 2, 3))
            .ToArray();
        var hidden = StationDays.Hide(
            new Core.PastYears([.. days]),
            new(2020, 7, 1),
            new(2021, 7, 1)
        );

        Assert.Equal(1000, hidden.Days.Length);
        Assert.Equal(365, hidden.Days.Count(d => double.IsNaN(d.MeanC) && double.IsNaN(d.RainMm)));
        Assert.Equal(1, hidden.Days[0].MeanC);
    }

    [Fact]
    public void Too_few_years_are_told_not_scored()
    {
        Station(years: 1);
        var (code, output, _) = Call("--station", _folder, "--skill");

        Assert.Equal(0, code);
        Assert.Contains("at least 4 years with one are needed", output, StringComparison.Ordinal);
        Assert.DoesNotContain("MAE", output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("goes with one of --station FOLDER and --stations FOLDER", "--skill")]
    [InlineData(
        "goes with one of --station FOLDER and --stations FOLDER",
        "--skill",
        "--station",
        "x",
        "--stations",
        "y"
    )]
    [InlineData("goes without --out", "--skill", "--station", "x", "--out", "y.csv")]
    [InlineData("goes without --out", "--skill", "--stations", "x", "--mornings")]
    [InlineData("no such folder", "--skill", "--station", "/nowhere/at/all")]
    public void Options_that_do_not_go_with_it_are_explained(
        string expected,
        params string[] arguments
    )
    {
        var (code, _, error) = Call(arguments);
        Assert.NotEqual(0, code);
        Assert.Contains(expected, error, StringComparison.Ordinal);
    }

    private void Station(int years = Years)
    {
        File.WriteAllText(
            Path.Combine(_folder, "station.json"),
            "{\"latitude\": 35, \"longitude\": -90, \"elevation_m\": 200, \"wind_height_m\": 10, \"cover\": \"turf\", \"irrigated\": true, \"soil\": \"loam\"}"
        );
        var count = years * 8766;
        var air = Enumerable.Range(0, count).Select(Air).ToArray();
        Write(air, null);
        var soil = HindcastRun.Run(_folder, _ => { }).SoilTemperature10CmC;
        Write(air, soil);
    }

    // The year's wave, each year a little warmer or colder, weather of some days' length, and the day's wave.
    private static double Air(int i)
    {
        var day = i / 24.0;
        var year = (int)(day / 365.25);
        return 15.5
            + (0.5 * ((year * 3 % Years) - 2))
            - (7 * Math.Cos(2 * Math.PI * (day - 20) / 365.25))
            + (1.5 * Math.Sin(2 * Math.PI * day / 9.7))
            + (1.5 * Math.Sin(2 * Math.PI * day / 23.3))
            + (6 * Math.Sin(2 * Math.PI * (i - 9) / 24));
    }

    private void Write(double[] air, double[]? soil)
    {
        using var writer = new StreamWriter(Path.Combine(_folder, "hourly.csv"));
        writer.WriteLine(
            $"valid_time,air_temperature_c,relative_humidity_percent,wind_speed_m_s,shortwave_w_m2,precipitation_mm{(soil is null ? "" : ",soil_temperature_10cm_c")}"
        );
        for (var i = 0; i < air.Length; i++)
        {
            var time = (First + Duration.FromHours(i)).ToString(
                "uuuu-MM-dd'T'HH:mm:ss'Z'",
                CultureInfo.InvariantCulture
            );
            writer.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{time},{air[i]:F2},60,2.5,{800 * Sun.MeanCosZenithOverHour(First + Duration.FromHours(i), 35, -90):F1},{(i % 170 == 0 ? 6 : 0)}{(soil is null ? "" : $",{soil[i]:F4}")}"
                )
            );
        }
    }

    private static (int Code, string Output, string Error) Call(params string[] arguments)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = HindcastCommand
            .Create()
            .Parse(arguments)
            .Invoke(new() { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }

    [GeneratedRegex(
        @"^ +(30|14| 7| 0) days before MAE +([\d.]+) d.*?range held (\d) of",
        RegexOptions.Multiline
    )]
    private static partial Regex LeadLine();
}
