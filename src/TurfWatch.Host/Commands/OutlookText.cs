using NodaTime;
using TurfWatch.Core;
using TurfWatch.Core.Agronomy;
using TurfWatch.Mail;

namespace TurfWatch.Host.Commands;

/// <summary>The outlook in lines of text.</summary>
internal static class OutlookText
{
    public static IEnumerable<string> Lines(LawnYear year, IReadOnlyList<SeasonWindow> windows)
    {
        var say = new PhraseText(year.Lawn, year.Date);
        var lawn = year.Lawn;
        yield return $"{lawn.Name}, {lawn.Place.Name}, {lawn.Place.State} {lawn.Place.Zip}: the season on {year.Date:uuuu-MM-dd}";
        yield return Basis(year.Outlook);
        foreach (var window in windows.OrderBy(w => w.Opens.Median ?? LocalDate.MaxIsoValue))
        {
            yield return "";
            yield return $"{say.Of(window.Name)} ({Words.Kebab(window.Grass.ToString()).Replace('-', ' ')}): {Standing(window)}";
            yield return $"  {(window.Closes is null ? "comes " : "opens ")} {Range(window.Opens, say)}";
            if (window.Closes is { } closes)
            {
                yield return $"  closes {Range(closes, say)}";
            }

            if (window.Best is { } best)
            {
                yield return $"  best   {Range(best, say)}";
            }

            foreach (var why in window.Why)
            {
                yield return $"  why    {say.Of(why.Text)} [{say.Of(why.Evidence)}; {say.Of(why.Threshold)}; {why.Source}]";
            }
        }

        if (windows.Count == 0)
        {
            yield return "";
            yield return "No window is known for this lawn.";
        }

        yield return "";
        foreach (var note in year.Weather.Notes)
        {
            yield return note.Standing == DataStanding.Fresh
                ? $"{note.Subject}: {note.SourceName}"
                : $"{note.Subject}{(note.Day is { } day ? $" of {day:uuuu-MM-dd}" : "")}: {note.Standing.ToString().ToLowerInvariant()}. {note.Reason}";
        }
    }

    private static string Basis(SeasonOutlook outlook) =>
        outlook switch
        {
            { Traces.IsDefaultOrEmpty: true } =>
                "No dates ahead: the past years of weather at this place are not known.",
            { Basis: OutlookBasis.ClimateAlone } =>
                $"From {outlook.Traces.Length} past years alone: the soil of this year is not known.",
            _ =>
                $"From the soil of today, {outlook.ForecastDays} days of forecast and {outlook.Traces.Length} past years. Earliest likely, likely, latest likely:",
        };

    private static string Standing(SeasonWindow window) =>
        window.Standing switch
        {
            WindowStanding.ClosingSoon => "open, closing soon",
            var standing => Words.Kebab(standing.ToString()),
        };

    /// <summary>Three dates; a dash where a tenth, a half or nearly all of the years lack the event.</summary>
    private static string Range(DateSpread dates, PhraseText say)
    {
        if (dates.Courses == 0)
        {
            return "cannot be said";
        }

        if (dates.Earliest is { } only && only == dates.Median && only == dates.Latest)
        {
            return say.Of(only);
        }

        var three = string.Join(
            " … ",
            new[] { dates.Earliest, dates.Median, dates.Latest }.Select(d =>
                d is { } date ? say.Of(date) : "–"
            )
        );
        return dates.Without == 0
            ? three
            : $"{three} (not in {dates.Without} of {dates.Courses} courses)";
    }
}
