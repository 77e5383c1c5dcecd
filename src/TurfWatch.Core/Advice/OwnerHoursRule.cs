using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Mowing only on the days and in the hours that the owner allows.</summary>
public static class OwnerHoursRule
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "owner-hours";

    /// <summary>Note of the hours before the owner's first.</summary>
    public const string Early = "before your hours";

    /// <summary>Note of the hours after the owner's last.</summary>
    public const string Late = "after your hours";

    private const string Source = "your own setting";

    /// <summary>Judges the day.</summary>
    public static Judgement Judge(Morning morning)
    {
        var ahead = morning.Ahead;
        var hours = morning.OwnerHours;
        var holds = ImmutableArray.CreateBuilder<Hold>();
        if (hours.Start > ahead.Start)
        {
            holds.Add(new(ahead.Start, hours.Start, HoldKind.Blocks, Early));
        }

        if (hours.End < ahead.End)
        {
            holds.Add(new(hours.End, ahead.End, HoldKind.Blocks, Late));
        }

        var lawn = morning.Lawn;
        if (hours.Start == hours.End)
        {
            return new(
                [new(ahead.Start, ahead.End, HoldKind.Blocks, "not your day")],
                [
                    Blocks(
                        lawn.MowDays.IsDefaultOrEmpty
                            ? Phrase.Of($"Your mowing hours leave no time on any day.")
                            : Phrase.Of($"Your mowing days are {Days(lawn)}."),
                        lawn
                    ),
                ]
            );
        }

        return ahead.Start + lawn.MowingTime > hours.End
            ? new(
                holds.ToImmutable(),
                [Blocks(Phrase.Of($"Your mowing hours for today are over."), lawn)]
            )
            : new(holds.ToImmutable(), []);
    }

    private static string Days(Lawn lawn)
    {
        var days = lawn.MowDays.Distinct().Order().Select(d => d.ToString()).ToList();
        if (days.Count >= 5)
        {
            var off = Enum.GetValues<IsoDayOfWeek>()
                .Where(d => d != IsoDayOfWeek.None && !lawn.MowDays.Contains(d))
                .Select(d => d.ToString());
            return "all but " + string.Join(" and ", off);
        }

        return days.Count == 1 ? days[0] : $"{string.Join(", ", days.SkipLast(1))} and {days[^1]}";
    }

    private static Finding Blocks(Phrase text, Lawn lawn) =>
        new(
            Id,
            AdviceWeight.Blocks,
            text,
            Phrase.Of($"you mow between {lawn.MowFrom} and {lawn.MowUntil}"),
            Phrase.Of($"{Quantity.Hours(lawn.MowingTime.TotalHours)} inside your days and hours"),
            Source
        );
}
