using System.Globalization;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Host.Answers;

/// <summary>A line of the journal in the words in which an owner would have answered it, to be changed and read again.</summary>
internal static class EntryWords
{
    /// <summary>The kinds, each with its verb and what a reader calls it.</summary>
    public static IReadOnlyList<(JournalKind Kind, string Verb, string Name)> Kinds { get; } =
    [
        (JournalKind.Mowed, "mowed", "Mowed"),
        (JournalKind.Fed, "fed", "Fed"),
        (JournalKind.Seeded, "seeded", "Seeded"),
        (JournalKind.Watered, "watered", "Watered"),
        (JournalKind.SoilMeasured, "soil", "Measured the soil"),
        (JournalKind.Germinated, "germinated", "The seed came up"),
        (JournalKind.PreEmergent, "pre-emergent", "Put down a pre-emergent"),
        (JournalKind.Aerated, "aerated", "Aerated"),
        (JournalKind.Dethatched, "dethatched", "Dethatched"),
        (JournalKind.MowingSkipped, "skipped mowing", "Skipped a mowing"),
    ];

    public static string Verb(JournalKind kind) => Kinds.First(k => k.Kind == kind).Verb;

    /// <summary>How much, in the owner's units; empty when not told.</summary>
    public static string Amount(JournalEntry entry, UnitSystem units)
    {
        var us = units == UnitSystem.UsCustomary;
        var grass = entry.Grass is { } kind ? Grasses.Of(kind).Name : "";
        return entry.Amount is { } amount ? $"{Told(entry, amount, us)} {grass}".Trim() : grass;
    }

    private static string Told(JournalEntry entry, double amount, bool us) =>
        entry.Kind switch
        {
            JournalKind.Mowed => us ? $"{N(amount / Customary.InchCm)} in" : $"{N(amount)} cm",
            JournalKind.Fed => us
                ? $"{N(PerThousand(amount))} lb N per 1000"
                : $"{N(amount)} g N per m2",
            JournalKind.Seeded => us
                ? $"{N(PerThousand(amount))} lb per 1000"
                : $"{N(amount)} g per m2",
            JournalKind.Watered => us ? $"{N(amount / Customary.InchMm)} in" : $"{N(amount)} mm",
            JournalKind.SoilMeasured => (us ? $"{N((amount * 1.8) + 32)} F" : $"{N(amount)} C")
                + (
                    entry.Time is { } time
                        ? time.ToString("' at 'HH:mm", CultureInfo.InvariantCulture)
                        : ""
                ),
            _ => "",
        };

    // Pounds on 1,000 square feet.
    private static double PerThousand(double gM2) => gM2 / Customary.PoundPerThousandSquareFeet;

    private static string N(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
