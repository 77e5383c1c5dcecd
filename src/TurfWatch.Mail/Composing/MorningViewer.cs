using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Composing;

/// <summary>Puts a briefing into the reader's words.</summary>
internal static class MorningViewer
{
    public static MorningView View(
        Briefing briefing,
        PhraseFormatter say,
        FrameMaker frame,
        IReadOnlyList<LinkView> offers
    )
    {
        var findings = briefing.Mowing.Reasons.ToLookup(
            r => r.Weight == AdviceWeight.Informs,
            r => say.View(r)
        );
        List<FindingView> reasons = [.. findings[false]];
        var tone = briefing.Mowing.Verdict switch
        {
            MowingVerdict.MowNow or MowingVerdict.MowFrom => "go",
            MowingVerdict.Wait => "wait",
            _ => "stop",
        };
        return new(
            frame(Verdict(briefing.Mowing.Verdict), tone, reasons.Count > 0 ? reasons[0].Text : "")
        )
        {
            Cautions = say.Texts(briefing.Cautions),
            Reasons = reasons,
            Notes = [.. findings[true]],
            Hours = [.. briefing.Hours.Select(h => Hour(h, say))],
            Offers = offers,
            TemperatureUnit = QuantityText.UnitOf(QuantityKind.Temperature, say.Units),
            Facts = say.View(briefing.Facts),
        };
    }

    private static string Verdict(MowingVerdict verdict) =>
        verdict switch
        {
            MowingVerdict.MowNow => "Mow now",
            MowingVerdict.MowFrom => "Mow later today",
            MowingVerdict.Wait => "Wait",
            _ => "Not today",
        };

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
            QuantityText.BareShare(hour.WetChancePercent),
            QuantityText.BareShare(hour.RainChancePercent),
            QuantityText.Bare(QuantityKind.Temperature, hour.AirTemperatureC, say.Units)
        );
    }
}
