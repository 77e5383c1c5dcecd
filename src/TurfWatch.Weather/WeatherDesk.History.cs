using NodaTime;
using TurfWatch.Core;
using TurfWatch.Weather.NasaPower;
using TurfWatch.Weather.Nws;
using TurfWatch.Weather.OpenMeteo;

namespace TurfWatch.Weather;

/// <content>What a message says of the past weeks: judged on the hours that are known in the end, whoever gave them.</content>
public sealed partial class WeatherDesk
{
    private const int HoursPerDay = 24;

    /// <summary>Less than this is no history: station observations alone reach a week back.</summary>
    private const int FewestDays = 10;

    /// <summary>Share of the wanted days from which history counts as whole.</summary>
    private const double WholeShare = 0.6;

    /// <param name="asked">The source's own note; null when the kept hours lacked nothing.</param>
    /// <param name="hours">The merged hours.</param>
    /// <param name="now">End of the past.</param>
    private DataNote HistoryNote(DataNote? asked, WeatherSeries hours, Instant now)
    {
        var days = HourLayers.KnownHours(hours, now) / HoursPerDay;
        var known = $"{days} of the last {_options.HistoryDays} days are known.";
        var note =
            asked ?? new(DataSubject.History, "", LastKnownPast(hours, now), DataStanding.Fresh);
        if (note.Standing == DataStanding.Missing && days < FewestDays)
        {
            return note; // in the name of whoever was asked, not of those who gave the few hours there are
        }

        note = note with { SourceName = CreditsOfPast(hours, now) ?? note.SourceName };
        if (note.Standing == DataStanding.Missing)
        {
            return note with
            {
                DataTime = LastKnownPast(hours, now),
                Standing = DataStanding.Stale,
                Reason = $"{note.Reason} From our own record, {known}",
            };
        }

        return days < _options.HistoryDays * WholeShare
            ? note with
            {
                Standing = DataStanding.Stale,
                Reason = note.Reason is null ? $"Only {known}" : $"{note.Reason} {known}",
            }
            : note;
    }

    private static Instant? LastKnownPast(WeatherSeries hours, Instant now)
    {
        var temperature = hours[WeatherColumn.AirTemperatureC];
        Instant? last = null;
        for (var i = 0; i < hours.Count && hours.HourEnd(i) <= now; i++)
        {
            last = double.IsNaN(temperature[i]) ? last : hours.HourEnd(i);
        }

        return last;
    }

    /// <summary>Everyone whose analyses the past rests on, to be credited; null when there are none.</summary>
    private string? CreditsOfPast(WeatherSeries hours, Instant now)
    {
        var sources = new SortedSet<string>(StringComparer.Ordinal);
        for (var i = 0; i < hours.Count && hours.HourEnd(i) <= now; i++)
        {
            if (hours.Origins[i].Kind == HourKind.Analysed)
            {
                sources.Add(hours.Origins[i].Source);
            }
        }

        return sources.Count == 0
            ? null
            : string.Join(
                ", ",
                sources.Select(id =>
                    id switch
                    {
                        NwsSource.SourceId => NwsSource.Credit,
                        NasaPowerSource.SourceId => NasaPowerSource.Credit,
                        OpenMeteoSource.SourceId => _options.OpenMeteo.Attribution,
                        _ => id,
                    }
                )
            );
    }
}
