using System.CommandLine;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch amount soil-test</c>: what the laboratory's numbers mean for a lawn.</summary>
internal static class SoilTestCommand
{
    public static Command Create(Terminal terminal) =>
        AmountCommand.Verb(
            terminal,
            "soil-test",
            """
            What a soil test means for a lawn, without a product's name. The laboratory's own reading comes first.

            Example: turfwatch amount soil-test --test 2026-03-10,ph=7.9,p=22ppm,k=180ppm,fe=3ppm,om=1.2%,ec=1.1dS/m --grass bermuda --soil sandy-loam
            """,
            [
                new(
                    "test",
                    "TEST",
                    "Date of the sample and what was found: ph, p, k, fe, b (ppm), om (%), ec (dS/m), for example 2026-03-10,ph=7.9,p=22ppm.",
                    Required: true
                ),
                AmountWords.Grass with
                {
                    Required = true,
                },
                new(
                    "soil",
                    "SOIL",
                    "Soil: sand, sandy-loam, loam, clay-loam, clay. Left out: loam."
                ),
                AmountWords.State,
                AmountWords.On,
            ],
            Answer
        );

    private static IEnumerable<string> Answer(AmountWords typed)
    {
        var say = typed.Say;
        var test = typed.Text("test") is { } text
            ? SoilTestWords.Read("--test", text, typed.Faults)
            : null;
        var grass = typed.Read<GrassKind>("grass", Words.OneOf<GrassKind>);
        var soil = typed.Read<SoilTexture>("soil", Words.OneOf<SoilTexture>) ?? SoilTexture.Loam;
        var state = typed.StateCode();
        var day = typed.Day();
        if (test is not null && test.Date > day)
        {
            typed.Faults.Add(
                $"--test is of {test.Date:uuuu-MM-dd}, which is still to come on {day:uuuu-MM-dd}; check the date of the sample."
            );
        }

        if (typed.Faults.Count > 0)
        {
            return [];
        }

        var lawn = new Lawn
        {
            Place = new("00000", "", state ?? "your state", 0, 0, "UTC"),
            Grass = grass!.Value,
            Soil = soil,
            SoilTest = test,
        };
        return
        [
            $"Soil test of {test!.Date:uuuu-MM-dd} for {Grasses.Of(lawn.Grass).Name}",
            "",
            .. SoilTestAdvice
                .Of(lawn, day)
                .SelectMany(f =>
                    new[]
                    {
                        say.Told(f.Text, day),
                        $"    {say.Told(f.Evidence, day)}; {say.Told(f.Threshold, day)}",
                        $"    {f.Source}",
                    }
                ),
            .. AmountText.Minding([
                "Laboratories use different methods: where yours reads its numbers otherwise, it is right.",
                say.Told(FertilizerLaw.For(lawn.Place.State, day).LookUp, day),
            ]),
        ];
    }
}
