using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts a briefing into the reader's words.</summary>
internal static class MessageViewer
{
    private const int LongestName = 60;

    public static MessageView View(Briefing briefing, SenderOptions sender, string unsubscribeLink)
    {
        var lawn = briefing.Lawn;
        var say = new PhraseFormatter(lawn.Units, lawn.Place.Zone, briefing.Date);
        var headline = say.Text(briefing.Headline);
        var findings = briefing.Mowing.Reasons.ToLookup(
            r => r.Weight == AdviceWeight.Informs,
            r => Reason(r, say)
        );
        List<ReasonView> reasons = [.. findings[false]];
        return new()
        {
            Subject = PlainText
                .Clip(say.Text(briefing.Subject), 120)
                .Replace(PlainText.NoBreak, ' '),
            Preheader = reasons.Count > 0 ? reasons[0].Text : headline,
            Lawn = PlainText.Clip(PlainText.OneLine(lawn.Name), LongestName),
            Place = PlainText.OneLine($"{lawn.Place.Name}, {lawn.Place.State}"),
            Day = say.LongDay(briefing.Date),
            Verdict = Verdict(briefing.Mowing.Verdict),
            Tone = briefing.Mowing.Verdict switch
            {
                MowingVerdict.MowNow or MowingVerdict.MowFrom => "go",
                MowingVerdict.Wait => "wait",
                _ => "stop",
            },
            Headline = headline,
            Cautions = [.. briefing.Cautions.Select(say.Text)],
            Reasons = reasons,
            Notes = [.. findings[true]],
            Hours = [.. briefing.Hours.Select(h => Hour(h, say))],
            TemperatureUnit = lawn.Units == UnitSystem.Metric ? "°C" : "°F",
            Facts =
            [
                .. briefing.Facts.Select(f => new FactView(say.Text(f.Label), say.Text(f.Value))),
            ],
            DataAlarms =
            [
                .. briefing.Data.Where(Alarms).Select(n => Note(n, briefing.MadeAt, say)),
            ],
            Data =
            [
                .. briefing.Data.Where(n => !Alarms(n)).Select(n => Note(n, briefing.MadeAt, say)),
            ],
            Zone =
                $"All times are local ({lawn.Place.ZoneId}). Worked out at {say.Moment(briefing.MadeAt)}.",
            Why = "You get this message because this address is on the list for this lawn.",
            UnsubscribeLink = unsubscribeLink,
            OwnerAddress = sender.Owner,
            OwnerLink = sender.OwnerLink,
            Sender = PlainText.OneLine(sender.FromName),
            PostalAddress = PlainText.OneLine(sender.PostalAddress),
        };
    }

    // Past years only begin the soil column and date the freezes: today's advice stands without them.
    private static bool Alarms(DataNote note) =>
        note.Standing != DataStanding.Fresh && note.Subject != DataSubject.Climate;

    private static string Verdict(MowingVerdict verdict) =>
        verdict switch
        {
            MowingVerdict.MowNow => "Mow now",
            MowingVerdict.MowFrom => "Mow later today",
            MowingVerdict.Wait => "Wait",
            _ => "Not today",
        };

    private static ReasonView Reason(Finding finding, PhraseFormatter say) =>
        new(
            finding.Weight switch
            {
                AdviceWeight.Blocks => "Against",
                AdviceWeight.Limits => "Limits the hours",
                AdviceWeight.Cautions => "Take care",
                AdviceWeight.Supports => "In favor",
                _ => "",
            },
            say.Text(finding.Text),
            say.Text(finding.Evidence),
            say.Text(finding.Threshold),
            PlainText.OneLine(finding.Source)
        );

    private static HourView Hour(BriefingHour hour, PhraseFormatter say)
    {
        var note = PlainText.OneLine(hour.Note);
        var part = (hour.OpenFrom, hour.OpenUntil) switch
        {
            ({ } from, { } until) => $"{say.Moment(from)} to {say.Moment(until)}",
            ({ } from, null) => $"from {say.Moment(from)}",
            (null, { } until) => $"until {say.Moment(until)}",
            _ => "",
        };
        var answer = (hour.Mowable, note.Length) switch
        {
            _ when part.Length > 0 => part,
            (true, 0) => "OK",
            (true, _) => $"OK, {note}",
            (false, 0) => "no",
            _ => note,
        };
        return new(
            say.HourOf(hour.HourEnd - Duration.FromHours(1)),
            hour.Mowable || part.Length > 0,
            answer,
            Chance(hour.WetChancePercent),
            Chance(hour.RainChancePercent),
            QuantityText.BareTemperature(hour.AirTemperatureC, say.Units)
        );
    }

    private static string Chance(double percent) =>
        double.IsFinite(percent) ? $"{Math.Round(percent, MidpointRounding.AwayFromZero):0}%" : "?";

    private static string Note(DataNote note, Instant madeAt, PhraseFormatter say)
    {
        var subject = note.Subject switch
        {
            DataSubject.Forecast => "Forecast",
            DataSubject.Observations => "Station readings",
            DataSubject.History => "Past weeks",
            DataSubject.Hazards => "Warnings",
            _ => "Past years",
        };
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
