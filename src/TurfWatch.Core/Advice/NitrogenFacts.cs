using System.Collections.Immutable;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>Nitrogen given this season, for the digest: against the usual range of each grass.</summary>
public static class NitrogenFacts
{
    /// <summary>Id of the findings.</summary>
    public const string Id = "nitrogen-given";

    /// <summary>One fact for each grass that was fed.</summary>
    public static IEnumerable<BriefingFact> Facts(LawnYear year) =>
        Given(year)
            .Where(g => g.Feedings > 0)
            .Select(g => new BriefingFact(
                Phrase.Of($"Fed to the {Grasses.Of(g.Grass).Name} since {g.From}"),
                g.Untold == g.Feedings
                    ? Phrase.Of($"{g.Feedings} times, the amount not told")
                    : Phrase.Of(
                        $"{Rate(g.NitrogenGM2)} of nitrogen, {Rate(g.PhosphateGM2)} of phosphate, {Rate(g.PotashGM2)} of potash in {g.Feedings} feedings{(g.Untold > 0 ? ", some without an amount" : "")}"
                    )
            ));

    /// <summary>One finding for each grass: room, enough, or too much.</summary>
    public static IEnumerable<Finding> Findings(LawnYear year) => Given(year).Select(Finding);

    private static Finding Finding(NitrogenGiven given)
    {
        var name = Grasses.Of(given.Grass).Name;
        var need = given.Need;
        var over = given.NitrogenGM2 > need.SeasonMaxGM2 * (1 + 1e-9);
        return new(
            Id,
            over ? AdviceWeight.Cautions : AdviceWeight.Informs,
            over
                    ? Phrase.Of(
                        $"The {name} has had more nitrogen than a season's most: no more of it this season."
                    )
                : given.Full ? Phrase.Of($"The {name} has had its nitrogen of the season.")
                : given.NitrogenGM2 >= need.SeasonMinGM2
                    ? Phrase.Of(
                        $"The {name} is within its usual range; up to {Rate(given.RoomGM2)} may follow this season."
                    )
                : given.Feedings == 0
                    ? Phrase.Of($"No feeding of the {name} is on record this season.")
                : Phrase.Of(
                    $"The {name} has room for {Rate(given.RoomGM2)} of nitrogen this season, in its own months."
                ),
            Phrase.Of($"{Rate(given.NitrogenGM2)} since {given.From}"),
            Phrase.Of($"{Rate(need.SeasonMinGM2)} to {Rate(need.SeasonMaxGM2)} a season"),
            need.Source
        );
    }

    private static ImmutableArray<NitrogenGiven> Given(LawnYear year) =>
        NitrogenGiven.Of(year.Lawn, year.Record, year.Date, year.Outlook.Past);

    private static Quantity Rate(double gM2) => new(QuantityKind.AreaRate, gM2);
}
