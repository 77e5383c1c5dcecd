using System.Globalization;
using System.Text.RegularExpressions;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Answers;

/// <summary>Lines that tell of something done to the lawn, or seen on it.</summary>
internal static partial class SaidDeeds
{
    /// <summary>The verb of a line whose first word does not tell it; null when the first word does.</summary>
    public static string? VerbOf(string line) =>
        UpForm().IsMatch(line) ? "germinated"
        : PreEmergentForm().IsMatch(line) && !FeedingForm().IsMatch(line) ? "pre-emergent"
        : CoreForm().IsMatch(line) ? "aerated"
        : RakeForm().IsMatch(line) ? "dethatched"
        : SprinklerForm().IsMatch(line) || WaterForm().IsMatch(SpokenNumber.Plain(line)) ? "watered"
        : PutForm().IsMatch(line) ? PutDown(line)
        : null;

    // "Put down 5 lb of 21-0-0", "spread 20 lb of rye".
    private static string? PutDown(string line) =>
        GradeForm().IsMatch(line)
        || FertilizerForm().IsMatch(line)
        || SpokenProduct.Grade(line) is not null
            ? "fed"
        : SeedForm().IsMatch(line) || SpokenGrass.Find(line) is not null ? "seeded"
        : null;

    public static Answer Mowed(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        if (LeverForm().IsMatch(rest))
        {
            return said.Fault(
                "a notch of the mower is no height; measure from the ground and write for example: mowed 2.5 in, or mowed alone"
            );
        }

        Said.Time(ref rest);
        rest = Left(rest);
        var height = SpokenMeasure.HeightCm(rest, said.Units);
        if (height is null && HasNumber(rest))
        {
            return said.Fault("the height was not understood; write for example: mowed 2.5 in");
        }

        return height is { } cm and (< 0.5 or > 15)
            ? said.Fault(
                $"a height of cut of {cm / Customary.InchCm:0.#} in ({cm:0.#} cm) cannot be right; write for example: mowed 2.5 in"
            )
            : new Did(JournalKind.Mowed, said.Day) { Amount = height };
    }

    public static Answer Fed(Said said)
    {
        if (PreEmergentForm().IsMatch(said.Line))
        {
            return said.Fault(
                "these are two things; write them in two lines, for example: fed 5 lb 21-0-0, and below it: pre-emergent"
            );
        }

        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        if (AdvisedForm().IsMatch(rest))
        {
            return new Did(JournalKind.Fed, said.Day) { AsAdvised = true };
        }

        FertilizerGrade? grade = null;
        var match = GradeForm().Match(rest);
        if (match.Success)
        {
            var numbers = Enumerable
                .Range(1, 3)
                .Select(i => double.Parse(match.Groups[i].Value, CultureInfo.InvariantCulture))
                .ToArray();
            if (numbers.Any(n => n > 100) || numbers.Sum() is not (> 0 and <= 100))
            {
                return said.Fault(
                    $"no fertilizer is {match.Value}: the three numbers add up to at most 100; copy them from the label"
                );
            }

            grade = new(numbers[0], numbers[1], numbers[2]);
            rest = rest.Remove(match.Index, match.Length);
        }
        else if (SpokenProduct.Grade(rest) is { } named)
        {
            (grade, rest) = named;
        }

        var rate = SpokenMeasure.RateGM2(rest);
        var whole = SpokenMeasure.WholeKg(rest);
        if (rate is null && whole is null && (HasNumber(rest) || BagForm().IsMatch(rest)))
        {
            return said.Fault(
                rest.Contains("bag", StringComparison.OrdinalIgnoreCase)
                    ? "how heavy is the bag? Write the weight that you used, for example: fed 5 lb 21-0-0, or: fed half a 40 lb bag of 21-0-0"
                    : "the amount was not understood; write for example: fed 5 lb 21-0-0, or: fed 0.5 lb N per 1000"
            );
        }

        var nitrogen = grade is null || NitrogenForm().IsMatch(rest);
        if ((nitrogen && rate > 25) || rate > 250 || whole > 5000 || rate <= 0 || whole <= 0)
        {
            return said.Fault("that amount cannot be right; write for example: fed 5 lb 21-0-0");
        }

        if (grade is null && whole is not null && !NitrogenForm().IsMatch(rest))
        {
            return said.Fault(
                "which fertilizer? Write its three numbers too, for example: fed 5 lb 21-0-0"
            );
        }

        return new Did(JournalKind.Fed, said.Day)
        {
            Grade = grade,
            Amount = nitrogen ? rate : null,
            ProductGM2 = nitrogen ? null : rate,
            WholeLawnKg = whole,
        };
    }

    public static Answer Seeded(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        var rate = SpokenMeasure.RateGM2(rest);
        var whole = SpokenMeasure.WholeKg(rest);
        return rate is null && whole is null && HasNumber(rest)
                ? said.Fault(
                    "the amount was not understood; write for example: seeded 10 lb annual rye"
                )
            : rate is <= 0 or > 200 || whole is <= 0 or > 5000
                ? said.Fault(
                    "that amount of seed cannot be right; write for example: seeded 10 lb annual rye"
                )
            : new Did(JournalKind.Seeded, said.Day)
            {
                Amount = rate,
                WholeLawnKg = whole,
                Grass = SpokenGrass.Find(rest),
            };
    }

    public static Answer Watered(Said said)
    {
        if (OffForm().IsMatch(said.Line))
        {
            return said.Fault("write when and how much was watered, for example: watered 20 min");
        }

        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        Said.Time(ref rest);
        var minutes = SpokenMeasure.Minutes(rest);
        var depth = minutes is null ? SpokenMeasure.DepthMm(rest, said.Units) : null;
        return minutes is null && depth is null && HasNumber(rest)
                ? said.Fault(
                    "the amount was not understood; write for example: watered 0.5 in, or: watered 20 min"
                )
            : depth is <= 0 or > 200 || minutes is <= 0 or > 1440
                ? said.Fault(
                    "that much water cannot be right; write for example: watered 0.5 in, or: watered 20 min"
                )
            : new Did(JournalKind.Watered, said.Day) { Amount = depth, Minutes = minutes };
    }

    public static Answer Soil(Said said)
    {
        if (said.Date(out var rest) is { Fault: { } fault })
        {
            return fault;
        }

        var time = Said.Time(ref rest);
        return SpokenMeasure.TemperatureC(rest, said.Units) switch
        {
            null => said.Fault("the temperature was not understood; write for example: soil 61 F"),
            < -30 or > 60 => said.Fault(
                "that soil temperature cannot be right; write for example: soil 61 F"
            ),
            { } celsius => new Did(JournalKind.SoilMeasured, said.Day)
            {
                Amount = celsius,
                Time = time ?? (said.Day == said.Now.Date ? said.Now.TimeOfDay : null),
            },
        };
    }

    public static Answer Germinated(Said said) =>
        said.Date(out var rest) is { Fault: { } fault }
            ? fault
            : new Did(JournalKind.Germinated, said.Day) { Grass = SpokenGrass.Find(rest) };

    public static Answer PreEmergent(Said said) => Done(said, JournalKind.PreEmergent);

    public static Answer Aerated(Said said) => Done(said, JournalKind.Aerated);

    public static Answer Dethatched(Said said) => Done(said, JournalKind.Dethatched);

    /// <summary>A mowing that is left out; "skip" alone is a wish about today's messages.</summary>
    public static Answer Skipped(Said said) =>
        MowingForm().IsMatch(said.Line)
            ? WeekForm().IsMatch(said.Line)
                ? new Did(JournalKind.MowingSkipped, said.Now.Date)
                : Done(said, JournalKind.MowingSkipped)
            : SaidCommands.NamesAnEnd(said.Line)
                ? SaidCommands.PauseUntil(said)
                : new SkipToday();

    private static Answer Done(Said said, JournalKind kind) =>
        said.Date(out _) is { Fault: { } fault } ? fault : new Did(kind, said.Day);

    // "From 3 in to 2 in", "took an inch off": the height that is left counts.
    private static string Left(string rest)
    {
        var plain = TakenForm().Replace(SpokenNumber.Plain(rest), " ");
        return DownToForm().Match(plain) is { Success: true } down ? plain[down.Index..] : plain;
    }

    private static bool HasNumber(string text) => SpokenNumber.All(text).Any();

    [GeneratedRegex(
        @"(?<![0-9.])(?<1>[0-9]{1,3}(?:\.[0-9]{1,2})?)\s?-\s?(?<2>[0-9]{1,3}(?:\.[0-9]{1,2})?)\s?-\s?(?<3>[0-9]{1,3}(?:\.[0-9]{1,2})?)(?![0-9-])",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex GradeForm();

    [GeneratedRegex(
        @"\b(n|nitrogen)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex NitrogenForm();

    [GeneratedRegex(
        @"\b(mow\w*|cut|this one)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex MowingForm();

    [GeneratedRegex(
        @"^\W*((i|we|can|see|saw|the|my|our|some|new|first|annual|perennial|winter|tall|grass|finally|yay)\W+)*(seeds?|seedlings?|grass|rye|ryegrass|fescue|bermuda|bluegrass|overseed(ing)?|it|they|sprouts)\W*((is|are|has|have|s|was|were|finally|just|all|already|start(s|ed|ing)?|begun|began|to)\s+)*(came|come|comes|coming|popp(ed|ing)|poking|up|sprout(ed|ing|s)?|germinat(ed|ing|es)|showing|emerg(ed|ing))\b(?!\s+(short|with|to\b))",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex UpForm();

    [GeneratedRegex(
        @"\bpre[\s-]?em(erge\w*)?\b|\b(prodiamine|dithiopyr|pendimethalin)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex PreEmergentForm();

    [GeneratedRegex(
        @"\b(fed|feed|fertili[sz]e[dr]?)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex FeedingForm();

    [GeneratedRegex(
        @"^\W*((i|we|just|have|has|i've|we've)\s+)*core[\s-]+aerat",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex CoreForm();

    [GeneratedRegex(
        @"^\W*((i|we|just|have|has|i've|we've)\s+)*(power[\s-]+raked|verti[\s-]?cut|de[\s-]thatch)",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex RakeForm();

    [GeneratedRegex(
        @"^\W*((i|we|just|have|has|had|ran|run|turned|on|left|the|my|our|lawn|put)\s+)*(sprinklers?|irrigation)\b(?=.*[0-9]|.*\bhour)|^\W*((i|we|just|have|has|had)\s+)*ran\s+(the\s+|my\s+|our\s+)?(sprinklers?|irrigation|water)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex SprinklerForm();

    [GeneratedRegex(
        @"^\W*(((i|we)\s+)?(gave|put|ran)\s+(it\s+|(the\s+)?(lawn|grass)\s+)?)?(on\s+|down\s+|about\s+)?[0-9./ ]+\s*(in|inch|inches|""|mm|cm|min|mins|minutes?|h|hr|hrs|hours?)\s+(of\s+)?(an?\s+inch\s+(of\s+)?)?water\b(?!\s*(?:bill|on the))",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex WaterForm();

    [GeneratedRegex(
        @"\b(off|bill|leak\w*|shut|broke\w*)\b|\bwater(ed)?\s+down\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex OffForm();

    [GeneratedRegex(
        @"^\W*((i|we|just|have|has|i've|we've|finally|also|then)\s+)*(put|threw|spread|applied|apply|used|laid|dropped|broadcast|planted|did)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex PutForm();

    [GeneratedRegex(
        @"\b(ferts?|fertili[sz]er|feeding)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex FertilizerForm();

    [GeneratedRegex(
        @"\bseeds?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex SeedForm();

    [GeneratedRegex(
        @"\b(advised|(as|like|what|how much|the way)\s+(you\s+)?(told|said|say|recommended|suggested)|(the\s+)?(recommended|suggested)\s+(amount|rate|dose))\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex AdvisedForm();

    [GeneratedRegex(
        @"\b(notch|setting|position|lever|hole|peg|level)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex LeverForm();

    [GeneratedRegex(
        @"\b(took|taking|take|removed|removing)\s+(off\s+)?(about\s+)?[0-9./ -]+\s*(in\b|inch(es)?|""|cm|mm)?\s*(off)?",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex TakenForm();

    [GeneratedRegex(
        @"\bto\s+(?=(about\s+)?[0-9.])",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex DownToForm();

    [GeneratedRegex(
        @"\bthis week(end)?\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex WeekForm();

    [GeneratedRegex(
        @"\b(bags?|sacks?)\b",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.IgnoreCase,
        1000
    )]
    private static partial Regex BagForm();
}
