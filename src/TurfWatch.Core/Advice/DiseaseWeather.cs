using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>
/// Weather that favours a disease of the grass that grows now, as a caution: what to look for and how to keep the
/// leaves dry. Nothing here prescribes a treatment.
/// </summary>
public static class DiseaseWeather
{
    /// <summary>Id of the findings.</summary>
    public const string Id = "disease-weather";

    private const int DaysAhead = 6;

    private const string NotDiagnosis =
        "Weather alone is no diagnosis: have the extension service or a licensed applicator name it before anything is treated.";

    private const string DollarSpotSource =
        "Smith et al. 2018 (PLoS ONE 13:e0194216): five-day means of humidity and temperature, mark 20 %, found on creeping bentgrass; measures: cultural, extension practice";

    private const string BrownPatchSource =
        "Fidanza, Dernoeden & Grybauskas 1996 (Phytopathology 86:385): mark 6, found on perennial ryegrass; measures: cultural, extension practice";

    private const string PythiumSource =
        "Nutter, Cole & Schein 1983 (Plant Disease 67:1126): above 30 °C, then 14 hours above 90 % humidity and 20 °C; measures: cultural, extension practice";

    /// <summary>The findings; none for a grass at rest, one that no model here speaks of, or weather that is not known.</summary>
    public static IEnumerable<Finding> Of(LawnYear year)
    {
        var growing = GrowingGrass.On(
            year.Lawn,
            year.Date,
            GrowthOfLawn.MeanSoilC(year.Outlook.Past, year.Date.PlusDays(-1)),
            year.Record
        );
        if (growing.Canopy == CanopyState.Dormant)
        {
            yield break;
        }

        foreach (var disease in growing.Grass.Diseases.Of)
        {
            var finding = disease switch
            {
                TurfDisease.DollarSpot => DollarSpotDays(year, growing.Grass),
                TurfDisease.BrownPatch => BrownPatchDays(year, growing.Grass),
                TurfDisease.PythiumBlight => PythiumDays(year, growing.Grass),
                _ => null,
            };
            if (finding is not null)
            {
                yield return finding;
            }
        }
    }

    private static Finding? DollarSpotDays(LawnYear year, Grass grass)
    {
        var days = new WeekDays(year);
        var chances = Enumerable
            .Range(0, DaysAhead + 1)
            .Select(ahead => year.Date.PlusDays(ahead))
            .Select(day =>
                (
                    Day: day,
                    Chance: DollarSpot.Chance(
                        days.Mean(d => d.HumidityPercent, day, DollarSpot.Days),
                        days.Mean(d => d.AirMeanC, day, DollarSpot.Days)
                    )
                )
            )
            .Where(c => c.Chance >= DollarSpot.Mark)
            .ToList();
        if (chances.Count == 0)
        {
            return null;
        }

        var most = chances.MaxBy(c => c.Chance);
        return new(
            Id,
            AdviceWeight.Cautions,
            Phrase.Of(
                $"Weather for dollar spot in {grass.Name} {When(chances.ConvertAll(c => c.Day), year.Date)}: look for straw-coloured spots and cobweb threads in the dew. Water only before dawn, mow dry in the morning with a sharp blade, keep it neither hungry nor thirsty. {NotDiagnosis}"
            ),
            Phrase.Of($"chance up to {Quantity.Percent(most.Chance * 100)} on {most.Day}"),
            Phrase.Of($"caution from {Quantity.Percent(DollarSpot.Mark * 100)}"),
            DollarSpotSource
        );
    }

    private static Finding? BrownPatchDays(LawnYear year, Grass grass)
    {
        var days = new WeekDays(year);
        var found = Enumerable
            .Range(0, DaysAhead + 1)
            .Select(ahead => year.Date.PlusDays(ahead))
            .Select(day =>
                (
                    Day: day,
                    Humidity: days.Mean(d => d.HumidityPercent, day, 1),
                    MinC: days.Mean(d => d.AirMinC, day, 1)
                )
            )
            .Where(d => BrownPatch.Favours(d.Humidity, d.MinC))
            .ToList();
        if (found.Count == 0)
        {
            return null;
        }

        var worst = found.MaxBy(d => BrownPatch.Index(d.Humidity, d.MinC));
        return new(
            Id,
            AdviceWeight.Cautions,
            Phrase.Of(
                $"Weather for brown patch in {grass.Name} {When(found.ConvertAll(d => d.Day), year.Date)}: look for round patches with a smoky edge early in the day. Give no nitrogen, water only before dawn, sweep the dew off. {NotDiagnosis}"
            ),
            Phrase.Of(
                $"{worst.Day}: humidity {Quantity.Percent(worst.Humidity)}, no cooler than {Quantity.TemperatureC(worst.MinC)}; index {Quantity.Plain(BrownPatch.Index(worst.Humidity, worst.MinC))}"
            ),
            Phrase.Of($"caution from index {Quantity.Plain(BrownPatch.Mark)}"),
            BrownPatchSource
        );
    }

    private static Finding? PythiumDays(LawnYear year, Grass grass)
    {
        var found = Enumerable
            .Range(-1, DaysAhead + 1)
            .Select(ahead => year.Date.PlusDays(ahead))
            .Where(day => NoonToNoon(year, day) == true)
            .ToList();
        return found.Count == 0
            ? null
            : new(
                Id,
                AdviceWeight.Cautions,
                Phrase.Of(
                    $"Weather for Pythium blight in {grass.Name} {When(found, year.Date)}: look for greasy, matted patches at dawn. Give no nitrogen, do not water in the evening, do not mow or walk on it wet. {NotDiagnosis}"
                ),
                Phrase.Of(
                    $"{found.Count} of {DaysAhead + 1} days from noon to noon are hot, humid and warm by night"
                ),
                Phrase.Of(
                    $"above {Quantity.TemperatureC(PythiumBlight.HotC)}, then {PythiumBlight.HumidHours} hours above {Quantity.Percent(PythiumBlight.HumidPercent)} humidity and {Quantity.TemperatureC(PythiumBlight.WarmNightC)}"
                ),
                PythiumSource
            );
    }

    private static bool? NoonToNoon(LawnYear year, LocalDate day)
    {
        var noon = day.At(LocalTime.Noon).InZoneLeniently(year.Lawn.Place.Zone).ToInstant();
        var first = year.Site.IndexOf(noon) + 1;
        return first < 0 || first + 24 > year.Site.Count
            ? null
            : PythiumBlight.Favours(
                year.Site.Weather[WeatherColumn.AirTemperatureC].Slice(first, 24),
                year.Site.Weather[WeatherColumn.RelativeHumidityPercent].Slice(first, 24)
            );
    }

    private static string When(List<LocalDate> days, LocalDate today) => DayNames.Of(days, today);
}
