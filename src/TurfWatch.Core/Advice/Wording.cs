using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Subject and headline: the verdict in the fewest words.</summary>
public static class Wording
{
    private const string NotYourDay = "not one of your days";

    /// <summary>The subject line, 60 characters at most once written out.</summary>
    public static Phrase Subject(Morning morning, Decided decided)
    {
        var advice = decided.Advice;
        switch (advice.Verdict)
        {
            case MowingVerdict.MowNow:
                var later = Later(decided);
                return Phrase.Of($"Mow now, until {advice.Until!.Value}{Colon(later)}");
            case MowingVerdict.MowFrom:
                return Phrase.Of(
                    $"Mow from {advice.From!.Value} to {advice.Until!.Value}{Colon(Comma(First(decided), Later(decided)))}"
                );
            case MowingVerdict.Wait when GrowthNeedRule.NotYet(morning):
                return morning.Need.Due is { } due
                    ? Phrase.Of($"No need to mow yet: due about {due}")
                    : Phrase.Of($"No need to mow yet");
            case MowingVerdict.Wait:
                return Phrase.Of($"Wait with mowing: {Why(morning, decided, waiting: true)}");
            default:
                return Phrase.Of($"No mowing today: {Why(morning, decided, waiting: false)}");
        }
    }

    /// <summary>The verdict in one sentence.</summary>
    public static Phrase Headline(Morning morning, Decided decided)
    {
        var advice = decided.Advice;
        if (advice is not { From: { } from, Until: { } until })
        {
            return Shut(morning, decided);
        }

        var before = advice.Verdict == MowingVerdict.MowNow ? "" : Before(Ending(decided));
        var after = After(Beginning(decided));
        var why = before.Length > 0 && after.Length > 0 ? $": {before}, and {after}." : Close();
        var due = Quantity.HeightCm(morning.Need.DueHeightCm);
        return (advice.Verdict, morning.Need.LastMowed) switch
        {
            (MowingVerdict.MowNow, null) => Phrase.Of(
                $"If the grass stands {due} or higher, mow between now and {until}{why}"
            ),
            (MowingVerdict.MowNow, _) => Phrase.Of($"Mow between now and {until}{why}"),
            (_, null) => Phrase.Of(
                $"If the grass stands {due} or higher, mow between {from} and {until}{why}"
            ),
            _ => Phrase.Of($"Mow between {from} and {until}{why}"),
        };

        string Close() => before.Length + after.Length > 0 ? $": {before}{after}." : ".";
    }

    // Short: the first reason explains it.
    private static Phrase Shut(Morning morning, Decided decided)
    {
        if (morning.Growing.Canopy == CanopyState.Dormant)
        {
            return Phrase.Of($"The {morning.Growing.Grass.Name} is at rest: nothing to mow.");
        }

        if (decided.Advice.Verdict == MowingVerdict.Wait)
        {
            return !GrowthNeedRule.NotYet(morning)
                    ? Phrase.Of($"Wait with mowing: {Why(morning, decided, waiting: true)}.")
                : morning.Need.Due is { } due
                    ? Phrase.Of($"No need to mow yet: it falls due about {due}.")
                : Phrase.Of($"No need to mow yet.");
        }

        var why = Why(morning, decided, waiting: false);
        if (!Eq(why, NotYourDay))
        {
            return Phrase.Of($"Leave the mower in today: {Longer(why)}.");
        }

        if (GrowthNeedRule.NotYet(morning))
        {
            return morning.Need.Due is { } due
                ? Phrase.Of($"Not one of your mowing days, and the grass falls due about {due}.")
                : Phrase.Of($"Not one of your mowing days, and no need to mow yet.");
        }

        return NextChance.NextOwnDay(morning) is { } next
            ? Phrase.Of($"Not one of your mowing days: the next is {next}.")
            : Phrase.Of($"Not one of your mowing days.");
    }

    private static string Longer(string why) =>
        why switch
        {
            "rain" => "rain is likely",
            "frost" => "frost on the grass",
            "dark" => "too little daylight",
            "heat" => "dangerous heat",
            "new seed" => "the new grass is too young",
            _ => why,
        };

    private static string Colon(string words) => words.Length > 0 ? $": {words}" : "";

    private static string Comma(string a, string b) =>
        a.Length > 0 && b.Length > 0 ? $"{a}, {b}" : a + b;

    private static string First(Decided decided) =>
        Ending(decided) is { Length: > 0 } note
            ? $"{(Eq(note, "thaw") ? "frost" : note)} first"
            : "";

    private static string Later(Decided decided) =>
        Beginning(decided) is { Length: > 0 } note
            ? Eq(note, "not known")
                ? "unknown after"
                : $"{note} later"
            : "";

    private static string Before(string note) =>
        note switch
        {
            "" => "",
            "dew" => "the dew should be gone by then",
            "thaw" or "frost" => "the frost should have thawed and dried by then",
            "rain" => "the rain should be over and the leaves dry by then",
            WaterOnLeaves.Wet => "the leaves should be dry by then",
            "soft ground" => "the ground should bear wheels by then",
            FrozenGroundRule.Note => "the ground should have thawed by then",
            "heat" => "the worst heat should be over by then",
            "warning" => "a warning is in force until then",
            _ => $"{note} until then",
        };

    private static string After(string note) =>
        note switch
        {
            "" => "",
            "dew" => "dew may fall after that",
            "rain" => "rain is likely after that",
            "heat" => "it gets too hot after that",
            "warning" => "a warning begins then",
            "not known" => "we cannot see the hours after that",
            _ => $"{note} after that",
        };

    // What ends as the window opens, and what begins as it closes; clocks and daylight need no words.
    private static string Ending(Decided decided) =>
        Told(decided, h => h.Until == decided.Advice.From);

    private static string Beginning(Decided decided) =>
        Told(decided, h => h.From == decided.Advice.Until);

    private static string Told(Decided decided, Func<Hold, bool> at) =>
        decided
            .Holds.Where(h => h.Kind != HoldKind.Care && at(h))
            .Select(h => h.Note)
            .FirstOrDefault(n => n is not (OwnerHoursRule.Early or OwnerHoursRule.Late or "dark"))
        ?? "";

    private static string Why(Morning morning, Decided decided, bool waiting)
    {
        var grass = morning.Growing.Grass.Name;
        var hours = morning.OwnerHours;
        var inHours = hours.Start < hours.End ? hours : morning.Ahead;
        var note = decided
            .Holds.Where(h => h.Kind != HoldKind.Care)
            .OrderByDescending(h => h.Within(inHours))
            .Select(h => h.Note)
            .FirstOrDefault(n => n is not OwnerHoursRule.Early);
        return note switch
        {
            "dew" or "thaw" or WaterOnLeaves.Wet => waiting
                ? "the leaves may not dry in time"
                : "the leaves stay wet",
            "at rest" => $"the {grass} is at rest",
            "too dry" => $"the {grass} needs water first",
            "soft ground" => "the ground is too soft",
            FrozenGroundRule.Note => "the ground is frozen",
            "not your day" => NotYourDay,
            SkippedRule.Note => "you skip this one",
            OwnerHoursRule.Late => "your hours are over",
            "warning" => "a warning is in force",
            "heat" => "dangerous heat",
            "new seed" => "the new grass is too young",
            "not known" => "too much is unknown",
            "no forecast" => "no forecast this morning",
            null => "no hour fits",
            _ => note,
        };
    }

    private static bool Eq(string a, string b) => string.Equals(a, b, StringComparison.Ordinal);
}
