using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public static partial class Samples
{
    private const GrassKind Base1 = GrassKind.Bermuda;
    private const GrassKind Rye = GrassKind.PerennialRyegrass;

    private static LocalDate D(int month, int day) => new(month < 8 ? 2027 : 2026, month, day);

    private static DateSpread Likely(LocalDate e, LocalDate m, LocalDate l) => new(e, m, l, 20, 0);

    public static SeasonWindow RyeFeeding() =>
        Window(
            WindowKind.FirstRyeFeeding,
            Rye,
            Phrase.Of($"First feeding of the winter rye"),
            WindowStanding.Open,
            DateSpread.On(D(11, 10)),
            Likely(D(12, 1), D(12, 6), D(12, 14)),
            Phrase.Of(
                $"The rye came up on {D(10, 13)} and has been cut twice: it can use its first nitrogen."
            ),
            Phrase.Of($"{28} days since it came up; soil at {Quantity.TemperatureC(14.2)}"),
            Phrase.Of(
                $"three to four weeks after it comes up, soil above {Quantity.TemperatureC(7.2)}"
            )
        ) with
        {
            Best = Likely(D(11, 14), D(11, 18), D(11, 24)),
            Steps =
            [
                Phrase.Of($"Mow first, and spread on dry leaves."),
                Phrase.Of(
                    $"Set the spreader to half the rate and go over the lawn twice, the second time crossways."
                ),
                Phrase.Of(
                    $"Water it in with {Quantity.WaterMm(6.35)} the same day: no rain is likely until {D(11, 26)}."
                ),
            ],
            Amounts =
            [
                Phrase.Of(
                    $"{new Quantity(QuantityKind.AreaRate, 2.44)} of nitrogen: {new Quantity(QuantityKind.Mass, 5.4)} of 21-0-0 for your {new Quantity(QuantityKind.Area, 464.5)}"
                ),
                Phrase.Of(
                    $"that is {new Quantity(QuantityKind.Mass, 2.7)} in each of the two passes"
                ),
            ],
            Cautions =
            [
                Phrase.Of(
                    $"Sweep granules off paths and drives, keep children and pets off until it is watered in; the product's label has the last word."
                ),
            ],
        };

    public static SeasonWindow Overseeding() =>
        Window(
            WindowKind.Overseed,
            Rye,
            Phrase.Of($"Overseed with winter rye"),
            WindowStanding.ClosingSoon,
            DateSpread.On(D(9, 28)),
            Likely(D(10, 21), D(10, 26), D(11, 3)),
            Phrase.Of(
                $"Soil has fallen into the range in which rye comes up before the bermuda rests."
            ),
            Phrase.Of(
                $"soil at {Quantity.TemperatureC(19.6)}, five-day mean; first freeze about {D(11, 22)}"
            ),
            Phrase.Of(
                $"soil between {Quantity.TemperatureC(15.6)} and {Quantity.TemperatureC(22.2)}, four weeks before the first freeze"
            )
        ) with
        {
            Steps =
            [
                Phrase.Of(
                    $"Mow the bermuda down to {Quantity.HeightCm(2.54)} and rake out what lies on the soil."
                ),
                Phrase.Of($"Spread half of the seed one way, the other half crossways."),
                Phrase.Of(
                    $"Keep the top {Quantity.HeightCm(1.27)} moist: water lightly two or three times a day until it is up."
                ),
            ],
            Amounts =
            [
                Phrase.Of(
                    $"{new Quantity(QuantityKind.AreaRate, 48.8)} of perennial rye: {new Quantity(QuantityKind.Mass, 22.7)} for your {new Quantity(QuantityKind.Area, 464.5)}"
                ),
            ],
            Cautions =
            [
                Phrase.Of(
                    $"No pre-emergent before the seed is up and cut three times: it keeps the rye from coming up too."
                ),
            ],
        };

    private static ImmutableArray<SeasonWindow> SeasonOfRye() =>
        [
            RyeFeeding(),
            Window(
                WindowKind.Dormancy,
                Base1,
                Phrase.Of($"The bermuda goes to rest"),
                WindowStanding.Ahead,
                Likely(D(11, 19), D(11, 25), D(12, 4)),
                null,
                Phrase.Of(
                    $"It rests when the soil stays below {Quantity.TemperatureC(12.8)} or after a hard freeze."
                )
            ),
            Window(
                WindowKind.FirstFreeze,
                Base1,
                Phrase.Of($"First freeze"),
                WindowStanding.Ahead,
                new(D(11, 23), D(12, 3), null, 20, 3),
                null,
                Phrase.Of($"Air at {Quantity.TemperatureC(0)} or below at night.")
            ),
            Window(
                WindowKind.RyeFeeding,
                Rye,
                Phrase.Of($"Second feeding of the winter rye"),
                WindowStanding.Ahead,
                Likely(D(12, 8), D(12, 12), D(12, 19)),
                Likely(D(12, 28), D(1, 6), D(1, 16)),
                Phrase.Of($"Once a month while it grows; not while the ground is frozen.")
            ) with
            {
                Ordinal = 1,
            },
            Window(
                WindowKind.CrabgrassPreEmergent,
                Base1,
                Phrase.Of($"Pre-emergent against crabgrass"),
                WindowStanding.Ahead,
                Likely(D(2, 9), D(2, 21), D(3, 3)),
                Likely(D(3, 1), D(3, 11), D(3, 22)),
                Phrase.Of(
                    $"Soil rising through {Quantity.TemperatureC(12.8)} for several days; the label decides."
                )
            ) with
            {
                Basis = OutlookBasis.ClimateAlone,
            },
            Window(
                WindowKind.GreenUp,
                Base1,
                Phrase.Of($"The bermuda turns green"),
                WindowStanding.Ahead,
                Likely(D(3, 8), D(3, 21), D(4, 5)),
                null,
                Phrase.Of($"Soil at {Quantity.TemperatureC(18.3)} by day.")
            ),
            Window(
                WindowKind.SpringTransition,
                Rye,
                Phrase.Of($"From rye back to bermuda"),
                WindowStanding.Ahead,
                Likely(D(4, 12), D(4, 24), D(5, 6)),
                Likely(D(5, 18), D(5, 30), D(6, 12)),
                Phrase.Of($"Stop feeding the rye and lower the cut as the bermuda takes over.")
            ),
            Window(
                WindowKind.Overseed,
                Rye,
                Phrase.Of($"Overseed with winter rye"),
                WindowStanding.Done,
                Likely(D(9, 24), D(9, 28), D(10, 3)),
                Likely(D(10, 21), D(10, 26), D(11, 3)),
                Phrase.Of($"Sown on {D(10, 3)}, by your record.")
            ),
            Window(
                WindowKind.FinalFallFeeding,
                Base1,
                Phrase.Of($"Last feeding of the bermuda"),
                WindowStanding.Closed,
                DateSpread.On(D(10, 4)),
                DateSpread.On(D(10, 20)),
                Phrase.Of(
                    $"Four to six weeks before it rests; nothing on record says that it was done."
                )
            ),
            Window(
                WindowKind.WinterWeedPreEmergent,
                Base1,
                Phrase.Of($"Pre-emergent against winter weeds"),
                WindowStanding.Withheld,
                DateSpread.Unknown,
                DateSpread.Unknown,
                Phrase.Of(
                    $"Not on a lawn that was overseeded: it would keep the rye from coming up."
                )
            ),
        ];

    private static SeasonWindow Window(
        WindowKind kind,
        GrassKind grass,
        Phrase name,
        WindowStanding standing,
        DateSpread opens,
        DateSpread? closes,
        Phrase why,
        Phrase? evidence = null,
        Phrase? threshold = null
    ) =>
        new()
        {
            Kind = kind,
            Season = 2026,
            Grass = grass,
            Name = name,
            Standing = standing,
            Opens = opens,
            Closes = closes,
            Steps = [],
            Why =
            [
                new(
                    kind.ToString(),
                    AdviceWeight.Informs,
                    why,
                    evidence ?? Phrase.Of($""),
                    threshold ?? Phrase.Of($""),
                    "university extension guides on overseeding"
                ),
            ],
            Basis = OutlookBasis.ThisYear,
        };
}
