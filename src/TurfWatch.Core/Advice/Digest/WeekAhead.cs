using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>The coming days from the forecast's hours; a day of which too little is foretold is left out.</summary>
internal static class WeekAhead
{
    private const int Days = 7;
    private const int FewestHours = 18;
    private const double FreezeC = 0;
    private const double FrostC = 2.2;
    private const double HotC = 37.8;
    private const double LikelyRainPercent = 60;
    private const double PossibleRainPercent = 30;
    private const double WindyMS = 9;

    public static ImmutableArray<DigestDay> Of(LawnYear year) =>
        [
            .. Enumerable
                .Range(0, Days)
                .Select(i => Day(year, year.Date.PlusDays(i)))
                .OfType<DigestDay>(),
        ];

    private static DigestDay? Day(LawnYear year, LocalDate date)
    {
        var site = year.Site;
        var zone = year.Lawn.Place.Zone;
        var first = site.IndexOf(zone.AtStartOfDay(date).ToInstant() + Duration.FromSeconds(1));
        var last = site.IndexOf(zone.AtStartOfDay(date.PlusDays(1)).ToInstant());
        var hours = Enumerable
            .Range(
                Math.Max(0, first),
                Math.Max(0, Math.Min(last, site.Count - 1) - Math.Max(0, first) + 1)
            )
            .ToArray();
        var air = Known(WeatherColumn.AirTemperatureC);
        if (air.Length < FewestHours)
        {
            return null;
        }

        var rain = Known(WeatherColumn.PrecipitationMm);
        var chance = Known(WeatherColumn.PrecipitationProbabilityPercent);
        var wind = Known(WeatherColumn.WindSpeedMS);
        var drawn = hours.Select(i => site.Et0Mm[i]).Where(v => !double.IsNaN(v)).ToArray();
        var day = new DigestDay(
            date,
            air.Min(),
            air.Max(),
            rain.Length >= FewestHours ? rain.Sum() : double.NaN,
            chance.Length > 0 ? chance.Max() : double.NaN,
            wind.Length > 0 ? wind.Max() : double.NaN,
            drawn.Length >= FewestHours ? drawn.Sum() : double.NaN,
            ""
        );
        return day with { Note = Note(day) };

        double[] Known(WeatherColumn column) =>
            [.. hours.Select(i => site.Weather[column][i]).Where(v => !double.IsNaN(v))];
    }

    private static string Note(DigestDay day) =>
        string.Join(
            ", ",
            new[]
            {
                day.MinC <= FreezeC ? "freeze"
                : day.MinC <= FrostC ? "frost"
                : "",
                day.MaxC >= HotC ? "hot" : "",
                day.RainChancePercent >= LikelyRainPercent ? "rain likely"
                : day.RainChancePercent >= PossibleRainPercent ? "rain possible"
                : "",
                day.WindMS >= WindyMS ? "windy" : "",
            }.Where(n => n.Length > 0)
        );
}
