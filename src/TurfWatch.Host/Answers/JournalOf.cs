using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Answers;

/// <summary>From what an owner says to a line of the journal, by way of the lawn's area and sprinklers.</summary>
internal static class JournalOf
{
    private const double MostProductGM2 = 250;

    /// <summary>
    /// The line, with a remark when something is missing in it; or no line and the reason why.
    /// </summary>
    public static (JournalEntry? Entry, Phrase? Remark) Deed(
        Did did,
        Lawn lawn,
        FeedPlan? advised
    ) =>
        did.Kind switch
        {
            JournalKind.Fed => Possible(Fed(did, lawn, advised)),
            JournalKind.Watered => Possible(Watered(did, lawn)),
            JournalKind.Seeded => Possible(Seeded(did, lawn)),
            _ => (new(0, did.Kind, did.Date, did.Amount, did.Time) { Grass = did.Grass }, null),
        };

    // What was told for the whole lawn is only known per area here: the same limits hold as for a rate that was told.
    private static (JournalEntry?, Phrase?) Possible((JournalEntry? Entry, Phrase? Remark) deed)
    {
        var (most, example) = deed.Entry?.Kind switch
        {
            JournalKind.Fed => (25.0, "fed 5 lb 21-0-0"),
            JournalKind.Seeded => (200.0, "seeded 10 lb annual rye"),
            _ => (200.0, "watered 20 min"),
        };
        return
            deed.Entry is { } entry
            && (
                entry.Amount > most
                || entry.PhosphateGM2 > MostProductGM2
                || entry.PotashGM2 > MostProductGM2
            )
            ? (
                null,
                Phrase.Of(
                    $"So much on a lawn of this area cannot be right, so nothing was written down. Check the amount and the area (answer: settings), and write for example: {example}."
                )
            )
            : deed;
    }

    /// <summary>The line as a receipt tells it.</summary>
    public static Phrase InWords(JournalEntry entry) =>
        (entry.Kind, entry.Amount) switch
        {
            (JournalKind.Mowed, { } cm) => Phrase.Of(
                $"Mowed at {Quantity.CutCm(cm)}, {entry.Date}."
            ),
            (JournalKind.Mowed, _) => Phrase.Of($"Mowed, {entry.Date}."),
            (JournalKind.Fed, { } rate) => Phrase.Of(
                $"Fed {new Quantity(QuantityKind.AreaRate, rate)} of nitrogen, {entry.Date}."
            ),
            (JournalKind.Fed, _) => Phrase.Of($"Fed, {entry.Date}."),
            (JournalKind.Seeded, { } rate) => entry.Grass is { } grass
                ? Phrase.Of(
                    $"Seeded {Grasses.Of(grass).Name}, {new Quantity(QuantityKind.AreaRate, rate)}, {entry.Date}."
                )
                : Phrase.Of($"Seeded {new Quantity(QuantityKind.AreaRate, rate)}, {entry.Date}."),
            (JournalKind.Seeded, _) => entry.Grass is { } grass
                ? Phrase.Of($"Seeded {Grasses.Of(grass).Name}, {entry.Date}.")
                : Phrase.Of($"Seeded, {entry.Date}."),
            (JournalKind.Watered, { } mm) => Phrase.Of(
                $"Watered {Quantity.WaterMm(mm)}, {entry.Date}."
            ),
            (JournalKind.Watered, _) => Phrase.Of($"Watered, {entry.Date}."),
            (JournalKind.SoilMeasured, { } celsius) => entry.Time is { } time
                ? Phrase.Of($"Soil {Quantity.TemperatureC(celsius)}, {entry.Date} at {time}.")
                : Phrase.Of($"Soil {Quantity.TemperatureC(celsius)}, {entry.Date}."),
            (JournalKind.PreEmergent, _) => Phrase.Of($"Pre-emergent put down, {entry.Date}."),
            (JournalKind.Aerated, _) => Phrase.Of($"Aerated, {entry.Date}."),
            (JournalKind.MowingSkipped, _) => Phrase.Of($"Skipped a mowing, {entry.Date}."),
            (JournalKind.Dethatched, _) => Phrase.Of($"Dethatched, {entry.Date}."),
            _ => Phrase.Of($"The seed came up, {entry.Date}."),
        };

    private static (JournalEntry?, Phrase?) Fed(Did did, Lawn lawn, FeedPlan? advised)
    {
        if (did.AsAdvised)
        {
            return advised is null
                ? (
                    null,
                    Phrase.Of(
                        $"No feeding is advised now, so \"as advised\" could not be written down. Write what you gave, for example: fed 5 lb 21-0-0."
                    )
                )
                : (new(0, JournalKind.Fed, did.Date, advised.NitrogenGM2), null);
        }

        var productGM2 =
            did.ProductGM2
            ?? (did.WholeLawnKg is { } kg && lawn.AreaM2 is { } area ? kg * 1000 / area : null);
        if (did.Grade is { } grade && productGM2 is { } product)
        {
            return (
                new(0, JournalKind.Fed, did.Date, product * grade.NitrogenPercent / 100)
                {
                    PhosphateGM2 = product * grade.PhosphatePercent / 100,
                    PotashGM2 = product * grade.PotashPercent / 100,
                },
                null
            );
        }

        if (did.WholeLawnKg is not null && lawn.AreaM2 is null)
        {
            return (
                new(0, JournalKind.Fed, did.Date, null),
                Phrase.Of(
                    $"How much that is per area is not known: write for example \"set area 3000sqft\", then \"undo\" and the feeding again."
                )
            );
        }

        // Nitrogen by weight on the whole lawn.
        return did.WholeLawnKg is not null && productGM2 is { } nitrogen
            ? (new(0, JournalKind.Fed, did.Date, nitrogen), null)
            : (new(0, JournalKind.Fed, did.Date, did.Amount), null);
    }

    private static (JournalEntry?, Phrase?) Watered(Did did, Lawn lawn) =>
        (did.Minutes, lawn.SprinklerMmH) switch
        {
            ({ } minutes, { } rate) => (
                new(0, JournalKind.Watered, did.Date, minutes / 60 * rate),
                null
            ),
            ({ }, null) => (
                new(0, JournalKind.Watered, did.Date, null),
                Phrase.Of(
                    $"How deep that is is not known: measure your sprinklers with cans and write for example \"set sprinkler 0.6in/h\"."
                )
            ),
            _ => (new(0, JournalKind.Watered, did.Date, did.Amount), null),
        };

    private static (JournalEntry?, Phrase?) Seeded(Did did, Lawn lawn) =>
        (
            new(
                0,
                JournalKind.Seeded,
                did.Date,
                did.Amount
                    ?? (
                        did.WholeLawnKg is { } kg && lawn.AreaM2 is { } area
                            ? kg * 1000 / area
                            : null
                    )
            )
            {
                Grass = did.Grass ?? lawn.Overseed,
            },
            did.WholeLawnKg is not null && lawn.AreaM2 is null
                ? Phrase.Of(
                    $"How much that is per area is not known: write for example \"set area 3000sqft\"."
                )
                : null
        );
}
