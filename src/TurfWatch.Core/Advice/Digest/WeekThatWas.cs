using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;
using TurfWatch.Core.Agronomy.Windows;

namespace TurfWatch.Core.Advice.Digest;

/// <summary>The last seven days in numbers, beside what is usual.</summary>
internal static class WeekThatWas
{
    private const int Days = 7;
    private const int FewestDays = 5;

    public static ImmutableArray<BriefingFact> Of(LawnYear year)
    {
        var facts = ImmutableArray.CreateBuilder<BriefingFact>();
        var end = year.Outlook.Today;
        var from = end.PlusDays(-Days);
        Air(year, from, end, facts);
        Soil(year, from, end, facts);
        var rain = Week(year, d => d.RainMm, from, end);
        if (rain.Count >= FewestDays)
        {
            facts.Add(new(Phrase.Of($"Rain"), Phrase.Of($"{Quantity.WaterMm(rain.Sum())}")));
        }

        var drawn = Week(year, d => d.Et0Mm, from, end);
        if (drawn.Count >= FewestDays)
        {
            facts.Add(
                new(
                    Phrase.Of($"Water that sun and wind drew (ET0)"),
                    Phrase.Of($"{Quantity.WaterMm(drawn.Sum())}")
                )
            );
        }

        var wet = Week(year, d => d.WetHours, from, end);
        if (wet.Count >= FewestDays)
        {
            facts.Add(
                new(
                    Phrase.Of($"Wet leaves"),
                    Phrase.Of($"about {Quantity.Hours(Math.Round(wet.Average()))} a day")
                )
            );
        }

        return facts.ToImmutable();
    }

    private static void Air(
        LawnYear year,
        LocalDate from,
        LocalDate end,
        ImmutableArray<BriefingFact>.Builder facts
    )
    {
        var least = Week(year, d => d.AirMinC, from, end);
        var most = Week(year, d => d.AirMaxC, from, end);
        if (least.Count < FewestDays || most.Count < FewestDays)
        {
            return;
        }

        facts.Add(
            new(
                Phrase.Of($"Air, lowest and highest"),
                Phrase.Of(
                    $"{Quantity.TemperatureC(least.Min())} to {Quantity.TemperatureC(most.Max())}"
                )
            )
        );
        var mean = Week(year, d => d.AirMeanC, from, end);
        if (year.Weather.Climate is { } climate && mean.Count >= FewestDays)
        {
            var usual = Enumerable
                .Range(0, Days)
                .Average(i => climate.MeanC[PlaceClimate.IndexOf(from.PlusDays(i))]);
            var off = mean.Average() - usual;
            if (!double.IsNaN(off))
            {
                facts.Add(
                    new(
                        Phrase.Of($"Against the usual"),
                        Math.Abs(off) < 0.5
                            ? Phrase.Of($"about as warm as usual")
                            : Phrase.Of(
                                $"{Quantity.DifferenceK(Math.Abs(off))} {(off > 0 ? "warmer" : "cooler")} than usual"
                            )
                    )
                );
            }
        }
    }

    private static void Soil(
        LawnYear year,
        LocalDate from,
        LocalDate end,
        ImmutableArray<BriefingFact>.Builder facts
    )
    {
        var week = Week(year, d => d.Soil10CmC, from, end);
        var before = Week(year, d => d.Soil10CmC, from.PlusDays(-Days), from);
        if (week.Count < FewestDays)
        {
            return;
        }

        var label = Phrase.Of($"Soil at {Told.Depth(year)}, mean of the week");
        var now = Quantity.TemperatureC(week.Average());
        facts.Add(
            new(
                label,
                before.Count >= FewestDays
                    ? Phrase.Of($"{now}; the week before {Quantity.TemperatureC(before.Average())}")
                    : Phrase.Of($"{now}")
            )
        );
    }

    private static List<double> Week(
        LawnYear year,
        Func<SiteDays, double[]> column,
        LocalDate from,
        LocalDate end
    ) => [.. DayColumns.Past(year.Outlook, column, from, end).Where(v => !double.IsNaN(v))];
}
