using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public static partial class Samples
{
    public static Briefing Dew() =>
        Base() with
        {
            Subject = Phrase.Of($"Mow from {At(10, 30)} to {At(15)}: dew first, rain later"),
            Headline = Phrase.Of($"Mow between {At(10, 30)} and {At(15)}: dew first, rain later."),
            Mowing = new(
                MowingVerdict.MowFrom,
                At(10, 30),
                At(15),
                At(9),
                At(10, 30),
                [
                    Finding(
                        "wet-leaves",
                        AdviceWeight.Limits,
                        Phrase.Of(
                            $"Dew on the grass: the leaves should be dry some time between {At(9)} and {At(10, 30)}."
                        ),
                        Phrase.Of(
                            $"{Quantity.WaterMm(0.14)} on the leaves now; even odds of dry at {At(9, 40)}"
                        ),
                        Phrase.Of($"chance of wet leaves below {Quantity.Percent(10)}"),
                        "common practice, no source"
                    ),
                    Finding(
                        "rain-ahead",
                        AdviceWeight.Limits,
                        Phrase.Of($"Rain is likely from about {At(15)}; be done by then."),
                        Phrase.Of(
                            $"chance up to {Quantity.Percent(64)}, about {Quantity.WaterMm(3.8)} foretold"
                        ),
                        Phrase.Of(
                            $"{Quantity.Percent(50)} chance or {Quantity.WaterMm(0.25)} in an hour"
                        ),
                        "common practice, no source"
                    ),
                    Finding(
                        "growth-need",
                        AdviceWeight.Supports,
                        Phrase.Of(
                            $"The perennial ryegrass is due for a cut: it stands at about {Quantity.HeightCm(9.4)}."
                        ),
                        Phrase.Of(
                            $"last mowed on {new LocalDate(2026, 11, 12)}, growing about {Quantity.HeightCm(1.6)} a week"
                        ),
                        Phrase.Of(
                            $"take off no more than a third: cut before {Quantity.HeightCm(9.5)}"
                        ),
                        "the one-third rule; university extension guides"
                    ),
                    Finding(
                        "waxy-rye",
                        AdviceWeight.Informs,
                        Phrase.Of(
                            $"Winter rye is waxy: cut wet, it sticks to the wheels, stains paving and lies in clumps."
                        ),
                        Phrase.Of($"perennial ryegrass leads on this lawn now"),
                        Phrase.Of($"leaves dry before wheels roll"),
                        "common practice, no source"
                    ),
                ]
            ),
            Offers =
            [
                new(JournalKind.Mowed, Date, 6.35),
                new(JournalKind.MowingSkipped, Date, null),
            ],
            Cautions =
            [
                Phrase.Of(
                    $"Clear stones, toys and hoses first, and keep children and pets off the lawn while the blade turns."
                ),
                Phrase.Of(
                    $"Closed shoes, eye and ear protection; your mower's manual has the last word."
                ),
            ],
            Hours = Hours(
                7,
                [99, 97, 71, 24, 6, 2, 1, 1, 3, 40, 86, 95],
                [0, 0, 2, 3, 5, 8, 14, 28, 54, 64, 61, 40],
                [8.2, 9.4, 12.1, 15.0, 17.6, 19.4, 20.8, 21.5, 20.6, 18.2, 16.9, 15.8],
                ["dew", "dew", "dew", "dew", "", "", "", "", "rain", "rain", "rain", "rain"]
            ),
        };

    public static Briefing Rain() =>
        Base() with
        {
            Subject = Phrase.Of($"No mowing today: rain"),
            Headline = Phrase.Of($"Rain is likely from now on, until your hours are over."),
            Mowing = new(
                MowingVerdict.NotToday,
                null,
                null,
                null,
                null,
                [
                    Finding(
                        "rain-ahead",
                        AdviceWeight.Blocks,
                        Phrase.Of($"Rain is likely from now on, until your hours are over."),
                        Phrase.Of(
                            $"chance up to {Quantity.Percent(92)}, about {Quantity.WaterMm(31.5)} foretold"
                        ),
                        Phrase.Of(
                            $"{Quantity.Percent(50)} chance or {Quantity.WaterMm(0.25)} in an hour"
                        ),
                        "common practice, no source"
                    ),
                    Finding(
                        "warnings",
                        AdviceWeight.Blocks,
                        Phrase.Of(
                            $"A Severe Thunderstorm Warning is in force until {At(13, 15)}. Stay indoors; leave the mower where it is."
                        ),
                        Phrase.Of($"issued by {"NWS Austin/San Antonio TX"}"),
                        Phrase.Of($"no mowing while thunder is about"),
                        "US National Weather Service, lightning safety"
                    ),
                    Finding(
                        "soft-ground",
                        AdviceWeight.Blocks,
                        Phrase.Of($"The ground is too wet to bear wheels."),
                        Phrase.Of($"top soil at {Quantity.Percent(128)} of what it holds"),
                        Phrase.Of($"below {Quantity.Percent(110)}"),
                        "common practice, no source"
                    ),
                ]
            ),
            Hours = Hours(
                7,
                [100, 100, 100, 100, 100, 100, 100, 99, 99, 98, 99, 100],
                [88, 90, 92, 92, 85, 80, 74, 66, 61, 58, 55, 52],
                [14.1, 14.4, 14.6, 15.0, 15.2, 15.4, 15.9, 16.1, 16.0, 15.7, 15.2, 14.8],
                [.. Enumerable.Repeat("rain", 12)]
            ),
        };

    public static Briefing Frost() =>
        Base() with
        {
            Lawn = Base().Lawn with { Name = "Nordwiese", Units = UnitSystem.Metric },
            Subject = Phrase.Of($"Wait with mowing: the grass is not due yet"),
            Headline = Phrase.Of(
                $"Frost on the grass until about {At(9, 40)}, and the grass is not due for a cut."
            ),
            Mowing = new(
                MowingVerdict.Wait,
                null,
                null,
                At(9, 40),
                At(11, 50),
                [
                    Finding(
                        "frost",
                        AdviceWeight.Limits,
                        Phrase.Of(
                            $"The leaves are frozen; stepping on them breaks them. They should thaw by {At(9, 40)}."
                        ),
                        Phrase.Of(
                            $"leaves down to {Quantity.TemperatureC(-3.4)}, {Quantity.WaterMm(0.11)} of ice"
                        ),
                        Phrase.Of($"leaves above {Quantity.TemperatureC(0.5)} and no ice"),
                        "common practice, no source"
                    ),
                    Finding(
                        "growth-need",
                        AdviceWeight.Informs,
                        Phrase.Of(
                            $"The tall fescue is not due: it stands at about {Quantity.HeightCm(7.6)}."
                        ),
                        Phrase.Of($"growing about {Quantity.HeightCm(0.4)} a week"),
                        Phrase.Of($"cut before {Quantity.HeightCm(11.4)}"),
                        "the one-third rule; university extension guides"
                    ),
                ]
            ),
            Hours = Hours(
                7,
                [100, 100, 96, 62, 18, 4, 2, 1, 1, 1, 2, 9],
                [0, 0, 0, 0, 1, 2, 2, 3, 3, 3, 4, 4],
                [-2.6, -1.1, 1.4, 4.2, 6.5, 8.1, 9.0, 9.6, 9.4, 8.3, 6.0, 4.1],
                ["frost", "frost", "frost", "wet", "wet", "", "", "", "", "", "", ""]
            ),
        };

    public static Briefing Stale() =>
        Dew() with
        {
            Data =
            [
                new(
                    DataSubject.Forecast,
                    "US National Weather Service",
                    At(19, 20, 19),
                    DataStanding.Stale,
                    "The service has not answered since yesterday evening; the dry-off range is wider for it."
                ),
                new(
                    DataSubject.Observations,
                    "US National Weather Service",
                    null,
                    DataStanding.Missing,
                    "No station nearby has reported since midnight."
                ),
                new(
                    DataSubject.Hazards,
                    "US National Weather Service",
                    null,
                    DataStanding.Missing,
                    "Warnings could not be fetched: look at the sky and at weather.gov before you mow."
                ),
                new(DataSubject.History, "NASA POWER", At(0, 0, 14), DataStanding.Fresh),
            ],
        };

    public static Briefing Heat() =>
        Dew() with
        {
            Subject = Phrase.Of($"Mow now, until {At(9, 30)}: heat later"),
            Headline = Phrase.Of($"You can mow now, until {At(9, 30)}; then heat later."),
            Mowing = new(
                MowingVerdict.MowNow,
                At(7),
                At(9, 30),
                null,
                null,
                [
                    Finding(
                        "heat-person",
                        AdviceWeight.Limits,
                        Phrase.Of($"Dangerous heat for whoever pushes the mower from {At(9, 30)}."),
                        Phrase.Of($"heat index up to {Quantity.TemperatureC(42.3)} at {At(16)}"),
                        Phrase.Of($"heat index below {Quantity.TemperatureC(32.2)}"),
                        "US National Weather Service, heat index categories"
                    ),
                    Finding(
                        "warnings",
                        AdviceWeight.Cautions,
                        Phrase.Of(
                            $"An Excessive Heat Warning is in force from {At(11)} until {At(21)}."
                        ),
                        Phrase.Of($"issued by {"NWS Austin/San Antonio TX"}"),
                        Phrase.Of($"any heat warning in force"),
                        "US National Weather Service"
                    ),
                    Finding(
                        "heat-grass",
                        AdviceWeight.Cautions,
                        Phrase.Of(
                            $"The grass is short of water: raise the cut or skip this one, and do not cut it in the heat."
                        ),
                        Phrase.Of($"{Quantity.Percent(31)} of the water it can reach is left"),
                        Phrase.Of($"{Quantity.Percent(40)} or more"),
                        "FAO Irrigation and Drainage Paper 56, chapter 8"
                    ),
                ]
            ),
            Cautions =
            [
                Phrase.Of(
                    $"Drink water before and while you work, rest in the shade, and stop at the first dizziness, cramp or headache. Someone confused or no longer sweating needs help at once: call 911."
                ),
                Phrase.Of(
                    $"Closed shoes, eye and ear protection; your mower's manual has the last word."
                ),
            ],
            Hours = Hours(
                7,
                [1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1],
                [0, 0, 0, 0, 1, 2, 4, 8, 11, 12, 12, 9, 6],
                [25.1, 27.0, 29.6, 31.9, 34.0, 35.7, 37.1, 38.2, 38.9, 39.3, 39.1, 38.0, 36.2],
                ["", "", "", .. Enumerable.Repeat("heat", 10)]
            ),
        };

    public static Briefing Odd() =>
        Rain() with
        {
            Lawn = Base().Lawn with
            {
                Name =
                    "مرج <b onclick=\"x()\">خلف</b> \u202Eevil\r\nBcc: all@example.org and_a_name_without_a_single_break_that_goes_on_and_on",
                Place = Town with { Name = "Llanfairpwllgwyngyllgogerychwyrndrobwll" },
            },
            Mowing = Rain().Mowing with
            {
                Reasons =
                [
                    .. Enumerable
                        .Range(1, 7)
                        .Select(i =>
                            Finding(
                                "warnings",
                                AdviceWeight.Blocks,
                                Phrase.Of(
                                    $"A {"Severe <script>alert(1)</script> Thunderstorm & Flash-Flood Warning"} is in force until {At(13 + i)}."
                                ),
                                Phrase.Of($"issued by {"NWS Austin/San Antonio TX"}"),
                                Phrase.Of($"no mowing while thunder is about"),
                                "US National Weather Service, lightning safety"
                            )
                        ),
                ],
            },
            Hours =
            [
                .. Rain()
                    .Hours.Select(h =>
                        h with
                        {
                            Note = "thunderstorm warning",
                            RainChancePercent = double.NaN,
                            AirTemperatureC = 40.4,
                        }
                    ),
            ],
        };

    private static ImmutableArray<BriefingHour> Hours(
        int first,
        double[] wet,
        double[] rain,
        double[] air,
        string[] notes
    ) =>
        [
            .. wet.Select(
                (w, i) =>
                    new BriefingHour(
                        At(first) + Duration.FromHours(i + 1),
                        air[i],
                        w,
                        rain[i],
                        rain[i] > 50 ? 1.2 : 0,
                        2.5 + i * 0.3,
                        notes[i].Length == 0,
                        notes[i]
                    )
            ),
        ];

    private static Briefing Base() =>
        new()
        {
            Kind = MessageKind.Morning,
            Date = Date,
            MadeAt = At(6, 31),
            Lawn = new()
            {
                Id = 12,
                Name = "Back yard",
                Place = Town,
                Grass = GrassKind.Bermuda,
                Overseed = GrassKind.PerennialRyegrass,
            },
            Subject = Phrase.Of($""),
            Headline = Phrase.Of($""),
            Mowing = new(MowingVerdict.NotToday, null, null, null, null, []),
            Cautions = [],
            Hours = [],
            Facts =
            [
                new(
                    Phrase.Of($"Soil at {Quantity.HeightCm(10.16)}"),
                    Phrase.Of(
                        $"{Quantity.TemperatureC(14.2)}, give or take {Quantity.DifferenceK(1.4)}"
                    )
                ),
                new(Phrase.Of($"Dew on the leaves"), Phrase.Of($"{Quantity.WaterMm(0.14)}")),
                new(Phrase.Of($"Rain, last 24 hours"), Phrase.Of($"{Quantity.WaterMm(0)}")),
                new(
                    Phrase.Of($"Water the grass can use (ET0)"),
                    Phrase.Of($"{Quantity.WaterMm(2.3)} yesterday, {Quantity.WaterMm(2.6)} today")
                ),
                new(
                    Phrase.Of($"Water left in the root zone"),
                    Phrase.Of($"{Quantity.Percent(74)} of what it can hold")
                ),
            ],
            Data =
            [
                new(
                    DataSubject.Forecast,
                    "US National Weather Service",
                    At(4, 12),
                    DataStanding.Fresh
                ),
                new(
                    DataSubject.Observations,
                    "US National Weather Service",
                    At(5, 53),
                    DataStanding.Fresh
                ),
                new(DataSubject.History, "NASA POWER", At(0, 0, 14), DataStanding.Fresh),
                new(
                    DataSubject.Hazards,
                    "US National Weather Service",
                    At(6, 30),
                    DataStanding.Fresh
                ),
            ],
        };
}
