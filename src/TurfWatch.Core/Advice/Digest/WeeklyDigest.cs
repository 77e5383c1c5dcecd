using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>Puts the weekly digest together.</summary>
public static class WeeklyDigest
{
    // What lies further off than this is next season's matter.
    private const int WindowsAheadDays = 200;
    private const int ClosedForDays = 21;

    /// <summary>Builds it.</summary>
    /// <param name="year">The lawn, its record, its season and its weather.</param>
    /// <param name="windows">The season's windows.</param>
    public static SeasonDigest Build(LawnYear year, ImmutableArray<SeasonWindow> windows)
    {
        var shown = Shown(year.Date, windows);
        var tasks = WeekTasks.Of(year, windows);
        return new()
        {
            Kind = MessageKind.Digest,
            Date = year.Date,
            MadeAt = year.Now,
            Lawn = year.Lawn,
            Subject = DigestWording.Subject(year, shown, tasks),
            Headline = DigestWording.Headline(year.Date, shown, tasks),
            Tasks = tasks,
            Offers = [.. tasks.Select(t => t.Offer).OfType<DeedOffer>().Distinct()],
            WeekThatWas = Digest.WeekThatWas.Of(year),
            WeekAhead = Digest.WeekAhead.Of(year),
            Windows = shown,
            Charts =
            [
                .. SoilChart.Of(year),
                .. GrowthChart.Of(year),
                .. WaterChart.Of(year),
                .. NitrogenChart.Of(year),
            ],
            Findings =
            [
                .. Told.Basis(year),
                .. WeekHazards.Of(year),
                .. DiseaseWeather.Of(year),
                .. NitrogenFacts.Findings(year),
                .. SoilTestAdvice.Of(year.Lawn, year.Date),
            ],
            OnRecord = [.. Digest.OnRecord.Of(year), .. NitrogenFacts.Facts(year)],
            Cautions = DigestWording.Cautions,
            Data = year.Weather.Notes,
        };
    }

    /// <summary>Open windows first, then those to come by date, then those that closed lately.</summary>
    internal static ImmutableArray<SeasonWindow> Shown(
        LocalDate today,
        ImmutableArray<SeasonWindow> windows
    ) =>
        [
            .. windows
                .Where(w => Shows(w, today))
                .OrderBy(w => Rank(w.Standing))
                .ThenBy(w => w.Opens.Median ?? w.Opens.Earliest ?? LocalDate.MaxIsoValue)
                .ThenBy(w => w.Kind),
        ];

    private static bool Shows(SeasonWindow window, LocalDate today) =>
        window.Standing switch
        {
            WindowStanding.Open or WindowStanding.ClosingSoon => true,
            WindowStanding.Ahead => (window.Opens.Earliest ?? window.Opens.Median) is { } date
                && date <= today.PlusDays(WindowsAheadDays),
            WindowStanding.Closed or WindowStanding.Done => (
                window.Closes?.Median ?? window.Opens.Median
            )
                is { } date
                && date >= today.PlusDays(-ClosedForDays),
            // Why something is withheld is worth a line while it would be open, not all year.
            WindowStanding.Withheld => window.Opens.Earliest is { } opens
                && opens <= today.PlusDays(ClosedForDays)
                && (window.Closes?.Latest ?? opens) >= today.PlusDays(-ClosedForDays),
            _ => true,
        };

    private static int Rank(WindowStanding standing) =>
        standing switch
        {
            WindowStanding.ClosingSoon => 0,
            WindowStanding.Open => 1,
            WindowStanding.Ahead => 2,
            WindowStanding.Withheld => 3,
            WindowStanding.Unknown => 4,
            _ => 5,
        };
}
