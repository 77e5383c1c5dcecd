using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Advice;

/// <summary>The numbers of an alert.</summary>
internal static class AlertFacts
{
    /// <summary>Soil now and as usual, and the usual first freeze; only what is known. The window's dates stand in words and as a bar.</summary>
    public static IEnumerable<BriefingFact> Of(LawnYear year, SeasonWindow window)
    {
        var soil = Marks.SoilNowC(year);
        if (!double.IsNaN(soil))
        {
            yield return new(
                Phrase.Of($"Soil at {Told.Depth(year)}, last five days"),
                Phrase.Of(
                    $"{Quantity.TemperatureC(soil)}, give or take {Quantity.DifferenceK(year.Outlook.SoilErrorC)}"
                )
            );
        }

        if (!year.Outlook.UsualSoil10CmC.IsDefaultOrEmpty)
        {
            var usual = year.Outlook.UsualSoil10CmC[PlaceClimate.IndexOf(year.Date)];
            if (!double.IsNaN(usual))
            {
                yield return new(
                    Phrase.Of($"Usual on this day"),
                    Phrase.Of($"{Quantity.TemperatureC(usual)}")
                );
            }
        }

        if (
            window.Kind is not WindowKind.FirstFreeze
            && Marks.UsualFreeze(year, year.Date.Month >= 7 ? year.Date.Year : year.Date.Year - 1)
                is { } freeze
            && freeze >= year.Date
        )
        {
            yield return new(
                Phrase.Of($"First freeze here"),
                Phrase.Of($"by {freeze} in half of the winters")
            );
        }
    }
}
