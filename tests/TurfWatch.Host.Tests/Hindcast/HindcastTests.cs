using System.Globalization;
using System.Xml.Linq;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Physics;
using TurfWatch.Host.Commands;
using TurfWatch.Host.Hindcast;
using Xunit;

namespace TurfWatch.Host.Tests.Hindcast;

public sealed class HindcastTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("hindcast-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_station_with_temperature_alone_gets_every_hour_modelled()
    {
        Station();
        Hours(240, (time, t) => $"{time},{t}");
        var (code, output, error) = Invoke();
        Assert.Equal((0, ""), (code, error));
        Assert.Contains("240 hours", output, StringComparison.Ordinal);
        var lines = File.ReadAllLines(Out);
        Assert.Equal(
            "valid_time,soil_temperature_5cm_c,soil_temperature_10cm_c,canopy_temperature_c,leaf_wetness_percent,dew_mm,et0_mm",
            lines[0]
        );
        Assert.Equal(241, lines.Length);
        Assert.StartsWith("2024-05-01T01:00:00Z,", lines[1], StringComparison.Ordinal);
        Assert.All(lines[1..], l => Assert.DoesNotContain(",,", l, StringComparison.Ordinal));
    }

    [Fact]
    public void Measured_soil_temperature_in_the_file_is_not_read()
    {
        Station();
        Hours(240, (time, t) => $"{time},{t}");
        Invoke();
        var without = File.ReadAllText(Out);
        Hours(240, (time, t) => $"{time},{t},99", ",soil_temperature_5cm_c");
        Invoke();
        Assert.Equal(without, File.ReadAllText(Out));
    }

    [Fact]
    public void Bad_rows_and_values_are_named_with_their_line_and_left_out()
    {
        Station();
        Hours(
            48,
            (time, t) =>
                time switch
                {
                    "2024-05-01T03:00:00Z" => "yesterday,12",
                    "2024-05-01T05:00:00Z" => $"{time},71",
                    "2024-05-01T06:00:00Z" => $"{time},12,3",
                    "2024-05-01T08:00:00Z" => $"2024-05-01T07:00:00Z,12",
                    _ => $"{time},{t}",
                }
        );
        var (code, _, error) = Invoke();
        Assert.Equal(0, code);
        var lines = error.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(4, lines.Length);
        Assert.Contains(
            "hourly.csv:4: valid_time \"yesterday\"",
            lines[0],
            StringComparison.Ordinal
        );
        Assert.Contains(
            "hourly.csv:6: air_temperature_c is \"71\"",
            lines[1],
            StringComparison.Ordinal
        );
        Assert.Contains("hourly.csv:7: 3 cells", lines[2], StringComparison.Ordinal);
        Assert.Contains(
            "hourly.csv:9: 2024-05-01T07:00:00Z occurs twice",
            lines[3],
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_long_gap_stays_empty()
    {
        Station();
        Hours(400, (time, t) => $"{time},{t}");
        var lines = File.ReadAllLines(Csv);
        File.WriteAllLines(Csv, lines[..200].Concat(lines[270..]));
        Assert.Equal(0, Invoke().Code);
        Assert.EndsWith(",,,,,,", File.ReadAllLines(Out)[240], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{", "not valid JSON")]
    [InlineData("{\"latitude\": 40}", "\"longitude\" is missing")]
    [InlineData("{\"latitude\": 400, \"longitude\": 0, \"elevation_m\": 0}", "\"latitude\" is 400")]
    public void A_faulty_station_file_is_explained(string json, string expected)
    {
        Station(json);
        Hours(24, (time, t) => $"{time},{t}");
        var (code, _, error) = Invoke();
        Assert.Equal(1, code);
        Assert.Contains(expected, error, StringComparison.Ordinal);
        Assert.Contains("station.json", error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_that_is_not_there_and_a_header_without_weather_are_explained()
    {
        Assert.Contains(
            "no such folder",
            Invoke(Path.Combine(_folder, "nowhere")).Error,
            StringComparison.Ordinal
        );
        Station();
        File.WriteAllText(Csv, "when,what\n");
        var (code, _, error) = Invoke();
        Assert.Equal(1, code);
        Assert.Contains(
            "hourly.csv:1: the header must name valid_time",
            error,
            StringComparison.Ordinal
        );
    }

    [Theory]
    [InlineData("irrigated turf", GroundCover.Turf)]
    [InlineData("tall prairie grass", GroundCover.TallGrass)]
    [InlineData("behaves as bare soil", GroundCover.BareSoil)]
    [InlineData("clearing", GroundCover.Turf)]
    [InlineData("", GroundCover.Turf)]
    public void The_cover_is_read_from_the_stations_words(string words, GroundCover expected) =>
        Assert.Equal(expected, TurfWatch.Host.Hindcast.Station.CoverFrom(words));

    [Theory]
    [InlineData("silty clay loam", SoilTexture.ClayLoam)]
    [InlineData("sandy loam", SoilTexture.SandyLoam)]
    [InlineData("loam, irrigated turf plot", SoilTexture.Loam)]
    [InlineData("silt", SoilTexture.Loam)]
    [InlineData("clay", SoilTexture.Clay)]
    [InlineData("Sand", SoilTexture.Sand)]
    [InlineData("unknown", SoilTexture.Loam)]
    public void The_texture_is_read_from_the_stations_words(string words, SoilTexture expected) =>
        Assert.Equal(expected, TurfWatch.Host.Hindcast.Station.SoilFrom(words));

    [Fact]
    public void A_folder_of_stations_is_scored_and_a_known_error_found()
    {
        // Measured is what the model says, one degree warmer and as wet: the score is known beforehand.
        Station();
        Hours(24 * 90, (time, t) => $"{time},{t}");
        Invoke();
        var model = File.ReadAllLines(Out).Skip(1).Select(l => l.Split(',')).ToList();
        var next = 0;
        Hours(
            24 * 90,
            (time, t) =>
            {
                var cells = model[next++];
                var soil = double.Parse(cells[2], CultureInfo.InvariantCulture) + 1;
                return string.Create(CultureInfo.InvariantCulture, $"{time},{t},{soil},{cells[4]}");
            },
            ",soil_temperature_10cm_c,leaf_wetness_percent"
        );
        var folder = Directory.CreateDirectory(Path.Combine(_folder, "all", "made"));
        File.Copy(Csv, Path.Combine(folder.FullName, "hourly.csv"));
        File.Copy(
            Path.Combine(_folder, "station.json"),
            Path.Combine(folder.FullName, "station.json")
        );
        var all = Path.Combine(_folder, "all");

        var (code, output, error) = Call("--stations", all, "--mornings");
        Assert.Equal((0, ""), (code, error));
        Assert.Contains("made: 2160 hours", output, StringComparison.Ordinal);
        Assert.Matches("soil 10 cm daily +RMSE 1.00  bias -1.00", output);
        Assert.Matches("wet hours right +1.000", output);
        Assert.DoesNotContain("soil 5 cm", output, StringComparison.Ordinal);

        var read = Call("--stations", all, "--readings", "weekly").Output;
        Assert.Matches("soil 10 cm daily +RMSE 0.([0-5][0-9]|6[0-6]) ", read);
        var atAnyHour = Call("--stations", all, "--readings", "weekly@any").Output;
        Assert.Matches("soil 10 cm daily +RMSE 0.([0-5][0-9]|6[0-6]) ", atAnyHour);
    }

    [Fact]
    public void Pictures_of_a_run_are_sound_drawings_with_their_names()
    {
        Station();
        Hours(
            90 * 24,
            (time, t) => string.Create(CultureInfo.InvariantCulture, $"{time},{t},{t - 1}"),
            ",soil_temperature_10cm_c"
        );
        var folder = Directory.CreateDirectory(Path.Combine(_folder, "drawn", "made"));
        File.Move(Csv, Path.Combine(folder.FullName, "hourly.csv"));
        File.Move(
            Path.Combine(_folder, "station.json"),
            Path.Combine(folder.FullName, "station.json")
        );
        var pictures = Path.Combine(_folder, "pictures");
        var (code, _, error) = Call(
            "--stations",
            Path.Combine(_folder, "drawn"),
            "--plots",
            pictures
        );
        Assert.Equal((0, ""), (code, error));
        Assert.Equal(
            ["made-soil-10cm-months.svg", "made-soil-10cm-reliability.svg", "made-soil-10cm.svg"],
            Directory.GetFiles(pictures).Select(f => Path.GetFileName(f)!).Order()
        );
        XNamespace svg = "http://www.w3.org/2000/svg";
        foreach (var file in Directory.GetFiles(pictures))
        {
            var drawing = XDocument.Load(file).Root!;
            Assert.Equal(svg + "svg", drawing.Name);
            Assert.Contains(
                drawing.Descendants(svg + "text"),
                t => t.Value.StartsWith("made: ", StringComparison.Ordinal)
            );
            Assert.DoesNotContain("NaN", drawing.ToString(), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void The_date_of_a_threshold_is_the_first_of_five_days_past_it()
    {
        // A day warms by one degree on the one before: the mean of five days is 12.8 °C or more from 15 January on.
        var ramp = new SortedDictionary<LocalDate, double>();
        for (var n = 1; n <= 60; n++)
        {
            ramp[new LocalDate(2024, 1, 1).PlusDays(n - 1)] = n;
        }

        var dates = SoilScore.Crossings(ramp, 12.8, rising: true, 1, 6);
        Assert.Equal(new LocalDate(2024, 1, 15), dates[2024]);
        Assert.Empty(SoilScore.Crossings(ramp, 80, rising: true, 1, 6));
    }

    [Theory]
    [InlineData("give --station FOLDER and --out", "--station", "x")]
    [InlineData("--stations goes without", "--stations", "x", "--out", "y.csv")]
    [InlineData("go with --stations only", "--station", "x", "--out", "y", "--mornings")]
    [InlineData("go with --stations only", "--station", "x", "--out", "y", "--plots", "z")]
    [InlineData("takes weekly", "--stations", "x", "--readings", "daily")]
    [InlineData("takes weekly", "--stations", "x", "--readings", "weekly@24")]
    [InlineData("names \"sun\"", "--stations", "x", "--without", "sun")]
    [InlineData("no such folder", "--stations", "/nowhere/at/all")]
    public void Options_that_do_not_go_together_are_explained(
        string expected,
        params string[] arguments
    )
    {
        var (code, _, error) = Call(arguments);
        Assert.NotEqual(0, code);
        Assert.Contains(expected, error, StringComparison.Ordinal);
    }

    private string Csv => Path.Combine(_folder, "hourly.csv");

    private string Out => Path.Combine(_folder, "model.csv");

    private void Station(
        string json =
            "{\"latitude\": 40, \"longitude\": -90, \"elevation_m\": 200, \"wind_height_m\": 10, \"cover\": \"turf\", \"irrigated\": false, \"soil\": \"loam\"}"
    ) => File.WriteAllText(Path.Combine(_folder, "station.json"), json);

    private void Hours(int count, Func<string, double, string> row, string moreColumns = "")
    {
        var first = Instant.FromUtc(2024, 5, 1, 1, 0);
        File.WriteAllLines(
            Csv,
            Enumerable
                .Range(0, count)
                .Select(i =>
                    row(
                        (first + Duration.FromHours(i)).ToString(
                            "uuuu-MM-dd'T'HH:mm:ss'Z'",
                            CultureInfo.InvariantCulture
                        ),
                        Math.Round(15 + (6 * Math.Sin(2 * Math.PI * (i - 15) / 24)), 1)
                    )
                )
                .Prepend($"valid_time,air_temperature_c{moreColumns}")
        );
    }

    private (int Code, string Output, string Error) Invoke(string? folder = null) =>
        Call("--station", folder ?? _folder, "--out", Out);

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
}
