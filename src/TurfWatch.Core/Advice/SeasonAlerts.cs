using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>
/// The alerts that are due on a day: windows that are open, close soon, or closed in the last days with nothing on
/// record. Which of them went out already is the outbox's knowledge: its key is sent once a season, and what closed is told only to those who heard that it was open.
/// </summary>
public static class SeasonAlerts
{
    /// <summary>Days after its closing for which a window that closed is still news.</summary>
    public const int ClosedNewsDays = 7;

    /// <summary>Days ahead within which a first freeze is told before it comes; judgement: as far as a forecast holds.</summary>
    public const int FreezeDaysAhead = 3;

    /// <summary>
    /// The alerts, the most pressing first: those that close soon, then those that are open, then those that closed.
    /// Only windows with something to do, and the first freeze when it is near; a feeding that must wait, for rain, frozen
    /// ground or the one before, is told once it need not. Work that does not press is told once, as it
    /// opens; that a window closed is told where the work is missed for a year.
    /// </summary>
    /// <param name="year">The lawn, its record, its season and its weather.</param>
    /// <param name="windows">The season's windows.</param>
    public static ImmutableArray<SeasonAlert> Of(
        LawnYear year,
        ImmutableArray<SeasonWindow> windows
    ) =>
        year.Lawn.Alerts
            ?
            [
                .. windows
                    .Select(w => (Window: w, What: Happened(year, w)))
                    .Where(a => a.What is not null)
                    .OrderBy(a => Rank(a.What!.Value))
                    .ThenBy(a => a.Window.Closes?.Median ?? LocalDate.MaxIsoValue)
                    .Select(a => Alert(year, a.Window, a.What!.Value)),
            ]
            : [];

    private static int Rank(WindowEvent what) =>
        what switch
        {
            WindowEvent.ClosingSoon => 0,
            WindowEvent.Opened => 1,
            _ => 2,
        };

    private static WindowEvent? Happened(LawnYear year, SeasonWindow window)
    {
        if (window.Kind == WindowKind.FirstFreeze)
        {
            return
                window.Standing == WindowStanding.Ahead
                && window.Opens.Median <= year.Date.PlusDays(FreezeDaysAhead)
                && window.Opens.Latest is not null
                ? WindowEvent.Opened
                : null;
        }

        if (window.Closes is null || window.Steps.IsEmpty)
        {
            return null;
        }

        // Late in it the careful advice is to give no nitrogen any more: nothing to call anyone for.
        if (
            window.Kind == WindowKind.FinalFallFeeding
            && window.Best?.Latest is { } best
            && best < year.Date
        )
        {
            return null;
        }

        if (
            window.Standing is WindowStanding.Open or WindowStanding.ClosingSoon
            && FeedingTask.Waits(year, window)
        )
        {
            return null;
        }

        return window.Standing switch
        {
            WindowStanding.Open => WindowEvent.Opened,
            WindowStanding.ClosingSoon => Presses(window.Kind)
                ? WindowEvent.ClosingSoon
                : WindowEvent.Opened,
            WindowStanding.Closed
                when IsMissed(window.Kind)
                    && window.Closes.Median is { } closed
                    && closed.PlusDays(ClosedNewsDays) >= year.Date => WindowEvent.Closed,
            _ => null,
        };
    }

    // Work that has its time; the rest is told once, as it opens.
    private static bool Presses(WindowKind kind) =>
        IsMissed(kind)
        || kind
            is WindowKind.Germination
                or WindowKind.FirstRyeFeeding
                or WindowKind.FinalFallFeeding;

    // Work that, once missed, is missed for a year; the rest closes without a word.
    private static bool IsMissed(WindowKind kind) =>
        kind
            is WindowKind.Overseed
                or WindowKind.CoolSeasonSeeding
                or WindowKind.CoolFallFeeding
                or WindowKind.LateFallFeeding
                or WindowKind.WinterWeedPreEmergent
                or WindowKind.CrabgrassPreEmergent;

    private static SeasonAlert Alert(LawnYear year, SeasonWindow window, WindowEvent what) =>
        new()
        {
            Kind = MessageKind.Alert,
            Date = year.Date,
            MadeAt = year.Now,
            Lawn = year.Lawn,
            Window = window,
            Event = what,
            Subject = AlertWording.Subject(year.Date, window, what),
            Headline = AlertWording.Headline(year.Date, window, what),
            Facts = [.. AlertFacts.Of(year, window)],
            Offers = Offers.Of(year.Lawn, window, year.Date) is { } offer ? [offer] : [],
            Cautions = window.Cautions,
            Data = year.Weather.Notes,
        };
}
