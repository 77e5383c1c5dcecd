using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public static partial class Samples
{
    public static SeasonDigest Week() =>
        new()
        {
            Kind = MessageKind.Digest,
            Date = Date.PlusDays(1),
            MadeAt = At(6, 31, 21),
            Lawn = Base().Lawn with { AreaM2 = 464.5 },
            Subject = Phrase.Of($"feed the rye, leave the bermuda be"),
            Headline = Phrase.Of(
                $"Feed the rye this week: the bermuda goes to rest about {D(11, 25)}, and the first freeze may come {D(11, 23)} or later."
            ),
            Offers =
            [
                new(JournalKind.Fed, Date.PlusDays(1), 2.44),
                new(JournalKind.Watered, Date.PlusDays(1), 12.7),
            ],
            Cautions =
            [
                Phrase.Of(
                    $"Your mower's manual, the labels of what you spread and your local rules have the last word."
                ),
            ],
            Tasks =
            [
                new(
                    Phrase.Of($"Feed the winter rye"),
                    RyeFeeding().Steps,
                    RyeFeeding().Amounts,
                    RyeFeeding().Why[0],
                    RyeFeeding().Cautions
                ),
                new(
                    Phrase.Of($"Mow once, between {D(11, 24)} and {D(11, 27)}"),
                    [
                        Phrase.Of(
                            $"Cut at {Quantity.HeightCm(5.08)}; it should stand at {Quantity.HeightCm(7.4)} by then."
                        ),
                    ],
                    [],
                    Finding(
                        "growth-need",
                        AdviceWeight.Informs,
                        Phrase.Of($"The rye grows slower in the cold: one cut is enough."),
                        Phrase.Of($"about {Quantity.HeightCm(1.4)} a week"),
                        Phrase.Of($"never more than a third of the leaf at once"),
                        "the one-third rule; university extension guides"
                    ),
                    [Phrase.Of($"Stay off it while it is white with frost.")]
                ),
                new(
                    Phrase.Of($"Water once, on {D(11, 25)}"),
                    [
                        Phrase.Of(
                            $"Early in the morning, and not on {D(11, 23)}: the night may freeze."
                        ),
                    ],
                    [
                        Phrase.Of(
                            $"{Quantity.WaterMm(10.2)}: {Quantity.Hours(0.75)} with your sprinklers"
                        ),
                    ],
                    Finding(
                        "water",
                        AdviceWeight.Informs,
                        Phrase.Of($"The grass will have used more than the rain brings."),
                        Phrase.Of(
                            $"{Quantity.WaterMm(14.7)} used, {Quantity.WaterMm(2.8)} of rain foretold"
                        ),
                        Phrase.Of(
                            $"water before less than {Quantity.Percent(50)} of what it can reach is left"
                        ),
                        "FAO Irrigation and Drainage Paper 56, chapter 8"
                    ),
                    [Phrase.Of($"Local watering rules come first.")]
                ),
            ],
            Windows = SeasonOfRye(),
            Charts = SampleCharts.Season(Date.PlusDays(1)),
            WeekAhead =
            [
                new(Date.PlusDays(1), 6.1, 19.4, 0, 4, 4.2, 2.4, ""),
                new(Date.PlusDays(2), 8.3, 20.6, 0, 8, 5.1, 2.5, ""),
                new(
                    Date.PlusDays(3),
                    -0.6,
                    12.8,
                    0,
                    11,
                    8.9,
                    2.2,
                    "north wind; may freeze at night"
                ),
                new(Date.PlusDays(4), 0.6, 13.9, 0, 5, 4.0, 1.8, "frost until about 9 am"),
                new(Date.PlusDays(5), 3.9, 16.7, 0, 12, 3.4, 1.9, ""),
                new(Date.PlusDays(6), 8.9, 18.3, 2.8, 58, 6.3, 1.4, ""),
                new(Date.PlusDays(7), 10.0, 17.2, 0.1, 35, 5.2, 1.5, ""),
            ],
            WeekThatWas =
            [
                new(
                    Phrase.Of($"Soil at {Quantity.HeightCm(10.16)}"),
                    Phrase.Of(
                        $"{Quantity.TemperatureC(15.8)} down to {Quantity.TemperatureC(14.2)}; usual for these days {Quantity.TemperatureC(15.1)}"
                    )
                ),
                new(Phrase.Of($"Rain"), Phrase.Of($"{Quantity.WaterMm(4.1)} on {D(11, 16)}")),
                new(
                    Phrase.Of($"Water that the grass could use"),
                    Phrase.Of($"{Quantity.WaterMm(16.3)}")
                ),
                new(
                    Phrase.Of($"Growth of the rye"),
                    Phrase.Of(
                        $"{Quantity.Percent(71)} of what it can, about {Quantity.HeightCm(1.5)}"
                    )
                ),
            ],
            Findings =
            [
                Finding(
                    "disease-weather",
                    AdviceWeight.Cautions,
                    Phrase.Of($"Weather for dollar spot is at an end for this year."),
                    Phrase.Of($"five-day risk {Quantity.Percent(6)}"),
                    Phrase.Of($"risk of {Quantity.Percent(20)}"),
                    "Smith et al. 2018, PLoS ONE 13(3)"
                ),
                Finding(
                    "nitrogen-season",
                    AdviceWeight.Informs,
                    Phrase.Of(
                        $"The bermuda has had its nitrogen for the year: no more until it is green."
                    ),
                    Phrase.Of(
                        $"{new Quantity(QuantityKind.AreaRate, 14.6)} on record since {D(3, 1).PlusYears(-1)}"
                    ),
                    Phrase.Of(
                        $"{new Quantity(QuantityKind.AreaRate, 14.6)} to {new Quantity(QuantityKind.AreaRate, 24.4)} a season"
                    ),
                    "university extension guides"
                ),
            ],
            OnRecord =
            [
                new(Phrase.Of($"Sown"), Phrase.Of($"perennial rye on {D(10, 3)}")),
                new(Phrase.Of($"Came up"), Phrase.Of($"{D(10, 13)}")),
                new(Phrase.Of($"Last cut"), Phrase.Of($"{D(11, 17)} at {Quantity.HeightCm(5.08)}")),
                new(Phrase.Of($"Last feeding"), Phrase.Of($"{D(9, 2)}, the bermuda")),
            ],
            Data =
            [
                .. Base().Data.Select(n => n with { DataTime = n.DataTime + Duration.FromDays(1) }),
                new(DataSubject.Climate, "NASA POWER, 20 years", At(0, 0, 1), DataStanding.Fresh),
            ],
        };

    public static SeasonDigest MetricWeek() =>
        Week() with
        {
            Lawn = Week().Lawn with { Name = "Nordwiese", Units = UnitSystem.Metric },
            Data = Stale().Data,
        };

    /// <summary>A digest of a lawn of which next to nothing is known.</summary>
    public static SeasonDigest BareWeek() =>
        Week() with
        {
            Subject = Phrase.Of($"nothing to do"),
            Headline = Phrase.Of($"Nothing needs doing this week."),
            Tasks = [],
            Cautions = [],
            Charts = [],
            WeekAhead =
            [
                new(
                    Date.PlusDays(1),
                    double.NaN,
                    double.NaN,
                    double.NaN,
                    double.NaN,
                    double.NaN,
                    double.NaN,
                    "no forecast"
                ),
            ],
            WeekThatWas = [],
            Findings = [],
            OnRecord = [],
            Windows =
            [
                .. SeasonOfRye()
                    .Select(
                        (w, i) =>
                            w with
                            {
                                Basis = OutlookBasis.ClimateAlone,
                                Standing = i % 2 == 0 ? WindowStanding.Unknown : w.Standing,
                                Opens = i == 3 ? new(D(12, 8), null, null, 20, 12) : w.Opens,
                                Closes = i == 5 ? new(null, null, null, 20, 20) : w.Closes,
                            }
                    ),
            ],
        };

    /// <summary>As long and as hostile as it gets.</summary>
    public static SeasonDigest OddWeek()
    {
        const string Evil =
            "<img src=x onerror=\"alert(1)\"> \u202E & a_word_that_goes_on_and_on_without_a_break_until_it_is_longer_than_a_phone_is_wide";
        var week = Week();
        return week with
        {
            Lawn = Odd().Lawn with { AreaM2 = 464.5 },
            Windows =
            [
                .. Enumerable
                    .Range(0, 22)
                    .Select(i =>
                        week.Windows[i % week.Windows.Length] with
                        {
                            Name = Phrase.Of($"{Evil} {i}"),
                        }
                    ),
            ],
            Tasks =
            [
                .. Enumerable
                    .Range(0, 8)
                    .Select(i =>
                        week.Tasks[i % week.Tasks.Length] with
                        {
                            Title = Phrase.Of($"{Evil} {i}"),
                        }
                    ),
            ],
            Charts = [.. week.Charts.Select(c => c with { Title = Phrase.Of($"{Evil}") })],
            WeekAhead = [.. week.WeekAhead.Select(d => d with { Note = Evil, MaxC = 40.4 })],
            Findings = [.. Enumerable.Repeat(week.Findings[0], 8)],
        };
    }
}
