using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Of each input: from whom, how old, how good.</summary>
internal static class DataNoteText
{
    /// <summary>Whether a note belongs at the head. Past years only begin the soil column and date the season: the advice stands without them.</summary>
    public static bool Alarms(DataNote note) =>
        note.Standing != DataStanding.Fresh && note.Subject != DataSubject.Climate;

    public static string Of(DataNote note, Instant madeAt, PhraseFormatter say)
    {
        var subject = note.Subject switch
        {
            DataSubject.Forecast => "Forecast",
            DataSubject.Observations => "Station readings",
            DataSubject.History => "Past weeks",
            DataSubject.Hazards => "Warnings",
            _ => "Past years",
        };
        if (note.Day is { } day)
        {
            return Sentence(
                $"{subject}: {say.LongDay(day)} is missing",
                PlainText.OneLine(note.Reason ?? "")
            );
        }

        var source = PlainText.OneLine(note.SourceName);
        var age = note.DataTime is { } time ? Age(time, madeAt, say) : "";
        var reason = PlainText.OneLine(note.Reason ?? "");
        return note.Standing switch
        {
            DataStanding.Fresh => Join($"{subject}: {source}", age) + ".",
            DataStanding.Stale => Sentence(
                Join($"{subject} is older than usual: {source}", age),
                reason
            ),
            // A reason that names the source need not be told the name before.
            _ when source.Length > 0 && reason.Contains(source, StringComparison.Ordinal) =>
                Sentence($"{subject}: not available", reason),
            _ => Sentence($"{subject}: not available{From(source)}", reason),
        };
    }

    private static string Age(Instant time, Instant madeAt, PhraseFormatter say)
    {
        var age = madeAt - time;
        if (age.TotalHours >= 36)
        {
            var days = Math.Round(age.TotalDays, MidpointRounding.AwayFromZero);
            return $"up to {say.LongDay(say.Local(time).Date)}, {days:#,##0} days old";
        }

        var hours = Quantity.Hours(Math.Round(age.TotalHours, MidpointRounding.AwayFromZero));
        return age < Duration.FromMinutes(90)
            ? $"as of {say.Moment(time)}"
            : $"as of {say.Moment(time)}, {QuantityText.Of(hours, say.Units)} old";
    }

    private static string From(string source) => source.Length > 0 ? $" from {source}" : "";

    private static string Join(string first, string second) =>
        second.Length > 0 ? $"{first}, {second}" : first;

    private static string Sentence(string text, string reason) =>
        reason.Length > 0
            ? $"{text}. {char.ToUpperInvariant(reason[0])}{reason[1..].TrimEnd('.')}."
            : $"{text}.";
}
