using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>
/// The cautions that fit the day, few and short; the mower's manual comes first. Common practice, but
/// for thunder: NWS advice is to go indoors at the first thunder and wait 30 minutes after the last.
/// </summary>
public static class Cautions
{
    private const double WarmEnoughForThunderC = 12;

    /// <summary>The cautions; none when nobody is sent out to mow.</summary>
    public static ImmutableArray<Phrase> For(Morning morning, Decided decided)
    {
        if (decided.Advice is not { From: { } from, Until: { } until })
        {
            return [];
        }

        var window = new Interval(from, until);
        var said = ImmutableArray.CreateBuilder<Phrase>();
        said.Add(
            Phrase.Of(
                $"Clear stones, toys and hoses first; keep children and pets away while the blade turns."
            )
        );
        said.Add(
            Phrase.Of(
                $"Closed shoes, eye and ear protection. Your mower's manual has the last word."
            )
        );
        if (WetGround(morning))
        {
            said.Add(
                Phrase.Of($"The ground is damp: leave steep slopes and banks for a drier day.")
            );
        }

        if (Notes("hot"))
        {
            said.Add(Phrase.Of($"Take the cool end of the window, water and a hat."));
        }

        if (ThunderPossible(morning, window))
        {
            said.Add(
                Phrase.Of(
                    $"If you hear thunder, go indoors and stay there for half an hour after the last of it."
                )
            );
        }

        if (FireWeather(morning))
        {
            said.Add(
                Phrase.Of(
                    $"Fire weather: a blade on a stone strikes sparks. Leave dry grass uncut and heed local bans."
                )
            );
        }

        return said.ToImmutable();

        bool Notes(string note) =>
            decided.Holds.Any(h =>
                string.Equals(h.Note, note, StringComparison.Ordinal)
                && h.Within(window) > Duration.Zero
            );
    }

    private static bool WetGround(Morning morning)
    {
        var i = morning.Site.IndexOf(morning.Ahead.Start);
        return i >= 0 && i < morning.Site.Count && morning.Site.SurfaceSoilWetness[i] > 1;
    }

    private static bool ThunderPossible(Morning morning, Interval window) =>
        morning.HoursAhead.Any(i =>
            morning.Hour(i).Start < window.End + Duration.FromHours(2)
            && morning.Hour(i).End > window.Start
            && morning.Site.Weather[WeatherColumn.AirTemperatureC][i] >= WarmEnoughForThunderC
            && morning.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i]
                >= RainAheadRule.PossiblePercent
        )
        || morning.Weather.Hazards.Any(h =>
            h.Event.Contains("Thunderstorm", StringComparison.OrdinalIgnoreCase)
        );

    private static bool FireWeather(Morning morning) =>
        morning.Weather.Hazards.Any(h =>
            h.Event.Contains("Red Flag", StringComparison.OrdinalIgnoreCase)
            || h.Event.Contains("Fire Weather", StringComparison.OrdinalIgnoreCase)
        );
}
