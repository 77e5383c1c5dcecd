using System.CommandLine;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch amount water</c>: a depth of water as a volume and as running time.</summary>
internal static class WaterAmountCommand
{
    public static Command Create(Terminal terminal) =>
        AmountCommand.Verb(
            terminal,
            "water",
            """
            How much water a depth is, and how long the sprinkler runs for it without water running off.

            Example: turfwatch amount water --area 5000sqft --depth 0.5in --sprinkler 1.5in/h --soil clay-loam
            """,
            [
                AmountWords.Area,
                new("depth", "DEPTH", "Wanted depth, for example 0.5in or 12mm.", Required: true),
                new(
                    "sprinkler",
                    "RATE",
                    "What the sprinkler gives, measured with straight-sided cans, for example 1.5in/h or 38mm/h."
                ),
                new(
                    "soil",
                    "SOIL",
                    "Soil, to cut the time into goes: sand, sandy-loam, loam, clay-loam, clay. Left out: loam."
                ),
            ],
            Answer
        );

    private static IEnumerable<string> Answer(AmountWords typed)
    {
        var say = typed.Say;
        var area = typed.Read<double>("area", Measures.AreaM2);
        var depth = typed.Read<double>("depth", Measures.DepthMm);
        var rate = typed.Read<double>("sprinkler", Measures.SprinklerMmH);
        var soil = typed.Read<SoilTexture>("soil", Words.OneOf<SoilTexture>);
        if (soil is not null && !typed.Has("sprinkler"))
        {
            typed.Faults.Add(
                "--soil is of use only with --sprinkler; add what the sprinkler gives, for example --sprinkler 1.5in/h."
            );
        }

        return typed.Faults.Count > 0
            ? []
            : Lines(say, area!.Value, depth!.Value, rate, soil ?? SoilTexture.Loam);
    }

    private static List<string> Lines(
        AmountText say,
        double areaM2,
        double depthMm,
        double? rateMmH,
        SoilTexture soil
    )
    {
        List<string> lines =
        [
            $"{say.Depth(depthMm)} of water on {say.Area(areaM2)}",
            "",
            AmountText.Line("Water", say.Volume(WaterAmount.Litres(depthMm, areaM2))),
        ];
        if (rateMmH is { } rate)
        {
            var run = WaterAmount.Run(depthMm, rate, soil);
            lines.Add(
                AmountText.Line("Running time", $"{run.Minutes:0} min at {say.Sprinkler(rate)}")
            );
            lines.Add(
                AmountText.Line(
                    "In goes",
                    run.Cycles == 1
                        ? "1: the soil keeps up"
                        : $"{run.Cycles} of {run.MinutesEach:0.#} min, with {Math.Ceiling(run.SoakMinutes - 1e-6):0} min between them to sink in"
                )
            );
            lines.Add(
                AmountText.Line(
                    "Rests on",
                    $"level {Words.Kebab(soil.ToString())} taking in {say.Sprinkler(WaterAmount.IntakeMmH(soil))} (The Lawn Institute), {say.Depth(WaterAmount.StandingMm)} standing in the grass (judgement)"
                )
            );
        }

        lines.AddRange(
            AmountText.Minding([
                "Soils of one name differ widely, and slopes take in less: stop when water runs off, and go on when it has sunk in.",
                "Local watering days, hours and bans come first; keep sprinklers off paving and electrical fittings.",
            ])
        );
        return lines;
    }
}
