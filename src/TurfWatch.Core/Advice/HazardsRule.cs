using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Warnings in force come before the lawn; warnings that could not be read are said to be so.</summary>
public static class HazardsRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "hazards";

    private const string Source = "warnings of the US National Weather Service as issued";

    // Words of the authority's event names. The first list forbids when the event is a warning.
    private static readonly string[] Grave =
    [
        "Tornado",
        "Thunderstorm",
        "Flood",
        "Hurricane",
        "Tropical Storm",
        "Typhoon",
        "Storm Surge",
        "Extreme Wind",
        "High Wind",
        "Dust Storm",
        "Snow Squall",
        "Blizzard",
        "Ice Storm",
        "Winter Storm",
        "Extreme Heat",
        "Excessive Heat",
        "Extreme Cold",
        "Tsunami",
        "Fire Warning",
        "Evacuation",
        "Shelter In Place",
        "Hazardous Materials",
    ];

    private static readonly string[] WorthCare =
    [
        "Heat",
        "Wind",
        "Air Quality",
        "Smoke",
        "Dust",
        "Fog",
        "Red Flag",
        "Fire Weather",
        "Special Weather",
        "Winter Weather",
    ];

    /// <summary>What a hazard means for mowing: forbids, wants care, or (null) does not matter.</summary>
    public static HoldKind? Meaning(Hazard hazard)
    {
        var grave = Grave.Any(word => Contains(hazard, word));
        var warning =
            hazard.Event.EndsWith("Warning", StringComparison.OrdinalIgnoreCase)
            || hazard.Event.EndsWith("Emergency", StringComparison.OrdinalIgnoreCase)
            || hazard.Event.EndsWith("Immediate", StringComparison.OrdinalIgnoreCase)
            || string.Equals(hazard.Severity, "Extreme", StringComparison.OrdinalIgnoreCase);
        return grave && warning ? HoldKind.Blocks
            : grave || WorthCare.Any(word => Contains(hazard, word)) ? HoldKind.Care
            : null;
    }

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var holds = ImmutableArray.CreateBuilder<Hold>();
        var findings = ImmutableArray.CreateBuilder<Finding>();
        foreach (var hazard in morning.Weather.Hazards)
        {
            var from = Instant.Max(
                hazard.Onset is { } onset ? Clock.Down(onset) : morning.Ahead.Start,
                morning.Ahead.Start
            );
            var until = Instant.Min(
                hazard.Ends is { } ends ? Clock.Up(ends + Quiet(hazard)) : morning.Ahead.End,
                morning.Ahead.End
            );
            if (Meaning(hazard) is not { } kind || until <= from)
            {
                continue;
            }

            var hold = new Hold(
                from,
                until,
                kind,
                kind == HoldKind.Blocks ? "warning" : "advisory"
            );
            holds.Add(hold);
            findings.Add(Tell(morning, hazard, hold));
        }

        if (NotRead(morning) is { } unread)
        {
            findings.Add(unread);
        }

        return new(holds.ToImmutable(), findings.ToImmutable());
    }

    // Thunder can follow the storm: half an hour after it, as NWS lightning advice has it.
    private static Duration Quiet(Hazard hazard) =>
        Contains(hazard, "Thunderstorm") || Contains(hazard, "Tornado")
            ? Duration.FromMinutes(30)
            : Duration.Zero;

    private static bool Contains(Hazard hazard, string word) =>
        hazard.Event.Contains(word, StringComparison.OrdinalIgnoreCase);

    private static Finding Tell(Morning morning, Hazard hazard, Hold hold) =>
        new(
            Id,
            hold.Kind == HoldKind.Blocks ? morning.WeightOf([hold]) : AdviceWeight.Cautions,
            hold.Kind == HoldKind.Blocks
                ? hazard.Ends is null
                    ? Phrase.Of($"{hazard.Event} in force: stay off the lawn until it is lifted.")
                    : Phrase.Of($"{hazard.Event} until {hazard.Ends.Value}: stay off the lawn.")
                : hazard.Ends is null
                    ? Phrase.Of($"{hazard.Event} in force: read it before you go out.")
                    : Phrase.Of(
                        $"{hazard.Event} until {hazard.Ends.Value}: read it before you go out."
                    ),
            Phrase.Of($"issued by {hazard.Sender}, severity {hazard.Severity}"),
            Phrase.Of($"no mowing under a warning that can hurt you"),
            Source
        );

    private static Finding? NotRead(Morning morning)
    {
        var note = morning.Weather.Note(DataSubject.Hazards);
        if (note?.Standing == DataStanding.Fresh)
        {
            return null;
        }

        return new(
            Id,
            AdviceWeight.Cautions,
            note is { Standing: DataStanding.Stale, DataTime: { } read }
                ? Phrase.Of(
                    $"The storm and heat warnings here are as of {read}: look them up before you go out."
                )
                : Phrase.Of(
                    $"We could not read the storm and heat warnings: look them up before you go out."
                ),
            Phrase.Of($"warnings in force are not known"),
            Phrase.Of($"no mowing under a warning that can hurt you"),
            Source
        );
    }
}
