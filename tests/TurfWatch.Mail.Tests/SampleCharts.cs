using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

/// <summary>Charts of an invented fall: waves with a ripple, the same on every run.</summary>
internal static class SampleCharts
{
    private const int Back = 60;
    private const int Ahead = 30;

    public static ImmutableArray<Chart> Season(LocalDate today) =>
        [Soil(today), Growth(today), Water(today), Nitrogen(today)];

    public static Chart Soil(LocalDate today) =>
        new(
            "soil",
            Phrase.Of($"Soil temperature at {Quantity.HeightCm(10.16)}"),
            QuantityKind.Temperature,
            today,
            [
                new(
                    Phrase.Of($"Likely range"),
                    SeriesStyle.Band,
                    today,
                    Days(0, Ahead, d => Usual(d) + 0.4 + Math.Min(3.2, 0.8 + d * 0.25)),
                    Days(0, Ahead, d => Usual(d) - 0.6 - Math.Min(3.2, 0.8 + d * 0.25))
                ),
                new(
                    Phrase.Of($"Usual"),
                    SeriesStyle.FaintLine,
                    today.PlusDays(-Back),
                    Days(-Back, Ahead, Usual),
                    []
                ),
                new(
                    Phrase.Of($"Your lawn"),
                    SeriesStyle.Line,
                    today.PlusDays(-Back),
                    Days(-Back, 0, d => Usual(d) - 0.6 + Ripple(d) * 2.4),
                    []
                ),
            ],
            [new(Phrase.Of($"bermuda rests"), 12.8), new(Phrase.Of($"rye comes up best"), 21.1)],
            [
                Phrase.Of(
                    $"It fell from {Quantity.TemperatureC(24.6)} on {today.PlusDays(-Back)} to {Quantity.TemperatureC(14.2)} now; usual is {Quantity.TemperatureC(15.1)}."
                ),
                Phrase.Of(
                    $"By {today.PlusDays(Ahead - 1)} it should be between {Quantity.TemperatureC(6.4)} and {Quantity.TemperatureC(13.1)}."
                ),
                Phrase.Of(
                    $"The bermuda rests below {Quantity.TemperatureC(12.8)}; rye comes up best near {Quantity.TemperatureC(21.1)}."
                ),
            ]
        );

    public static Chart Growth(LocalDate today) =>
        new(
            "growth",
            Phrase.Of($"Growth, of what each grass can"),
            QuantityKind.Percent,
            today,
            [
                new(
                    Phrase.Of($"Bermuda"),
                    SeriesStyle.Line,
                    today.PlusDays(-Back),
                    Days(-Back, Ahead, d => Potential(Usual(d) + Ripple(d) * 3, 31, 7)),
                    []
                ),
                new(
                    Phrase.Of($"Perennial rye"),
                    SeriesStyle.Line,
                    today.PlusDays(-Back),
                    Days(-Back, Ahead, d => Potential(Usual(d) + Ripple(d) * 3, 20, 5.5)),
                    []
                ),
            ],
            [],
            [
                Phrase.Of(
                    $"The bermuda has fallen to {Quantity.Percent(6)} of what it can, and goes on falling."
                ),
                Phrase.Of($"The rye grows at {Quantity.Percent(62)} and slows down into December."),
            ]
        );

    public static Chart Water(LocalDate today) =>
        new(
            "water",
            Phrase.Of($"Water in the root zone"),
            QuantityKind.WaterDepth,
            today,
            [
                new(
                    Phrase.Of($"Rain"),
                    SeriesStyle.Bars,
                    today.PlusDays(-Back),
                    Days(
                        -Back,
                        7,
                        d =>
                            d % 11 == -5 ? 14 + Ripple(d) * 9
                            : d == 5 ? 2.8
                            : 0
                    ),
                    []
                ),
                new(
                    Phrase.Of($"Watering"),
                    SeriesStyle.Bars,
                    today.PlusDays(-Back),
                    Days(-Back, 0, d => d % 9 == -4 ? 10 : 0),
                    []
                ),
                new(
                    Phrase.Of($"Left for the grass"),
                    SeriesStyle.Line,
                    today.PlusDays(-Back),
                    Days(-Back, 7, d => 24 + Ripple(d * 1.7) * 12),
                    []
                ),
            ],
            [new(Phrase.Of($"water before this"), 17)],
            [
                Phrase.Of(
                    $"{Quantity.WaterMm(21)} is left of {Quantity.WaterMm(38)}; without water it falls to {Quantity.WaterMm(17)} about {today.PlusDays(4)}."
                ),
            ]
        );

    public static Chart Nitrogen(LocalDate today) =>
        new(
            "nitrogen",
            Phrase.Of($"Nitrogen given this season"),
            QuantityKind.AreaRate,
            today,
            [
                new(
                    Phrase.Of($"Given so far"),
                    SeriesStyle.Line,
                    today.PlusDays(-200),
                    Days(
                        -200,
                        0,
                        d =>
                            d < -180 ? 0
                            : d < -120 ? 4.9
                            : d < -80 ? 9.8
                            : 14.6
                    ),
                    []
                ),
            ],
            [
                new(Phrase.Of($"least for the season"), 14.6),
                new(Phrase.Of($"most for the season"), 24.4),
            ],
            [
                Phrase.Of(
                    $"{new Quantity(QuantityKind.AreaRate, 14.6)} in three feedings; the season's limits are {new Quantity(QuantityKind.AreaRate, 14.6)} and {new Quantity(QuantityKind.AreaRate, 24.4)}."
                ),
            ]
        );

    private static double Usual(double day) =>
        18.5 - 9.5 * Math.Sin(2 * Math.PI * (day + 30) / 365) - day * 0.03;

    private static double Ripple(double day) =>
        0.6 * Math.Sin(day / 3.1) + 0.4 * Math.Sin(day / 1.3 + 1);

    private static double Potential(double celsius, double best, double width) =>
        100 * Math.Exp(-0.5 * Math.Pow((celsius - best) / width, 2));

    private static ImmutableArray<double> Days(int from, int until, Func<double, double> of) =>
        [.. Enumerable.Range(from, until - from).Select(d => of(d))];
}
