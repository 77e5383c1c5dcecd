using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The first freeze of the cold season: screen air at or below 32 °F.</summary>
/// <remarks>Levels: first frost 36 °F, freeze 32 °F, hard freeze 28 °F (NWS Jackson). The date is the day whose minimum reaches the level (MRCC).</remarks>
internal static class FirstFreeze
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "first-freeze";

    /// <summary>Minimum of the day at or below which it is a freeze: 32 °F [°C].</summary>
    public const double FreezeC = 0;

    /// <summary>Minimum at or below which it is a hard freeze: 28 °F [°C].</summary>
    public const double HardFreezeC = -2.2;

    private static readonly AnnualDate From = new(8, 1);
    private static readonly AnnualDate Until = new(3, 31);

    /// <summary>The cold season that begins in a year.</summary>
    public static Season SeasonOf(int year) => Season.In(year, From, Until);

    /// <summary>When it comes.</summary>
    public static DateSpread Comes(LawnYear year, Season season) =>
        FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) => course.AirMinC[i] <= FreezeC
        );

    // Near it is the forecast that says so, and how cold.
    private static IEnumerable<Finding> Foretold(LawnYear year, DateSpread comes)
    {
        if (
            comes.Median is not { } day
            || day < year.Outlook.Today
            || day >= year.Outlook.Today.PlusDays(year.Outlook.ForecastDays)
        )
        {
            yield break;
        }

        double[] lows =
        [
            .. year
                .Outlook.Traces.Select(t => (t.Days.AirMinC, Index: t.Days.IndexOf(day)))
                .Where(t => t.Index >= 0 && t.Index < t.AirMinC.Length)
                .Select(t => t.AirMinC[t.Index])
                .Where(t => !double.IsNaN(t))
                .Order(),
        ];
        if (lows.Length == 0)
        {
            yield break;
        }

        var low = Quantile.At(lows, 0.5);
        yield return new(
            Id,
            AdviceWeight.Informs,
            low <= HardFreezeC
                ? Phrase.Of(
                    $"The forecast has a hard freeze on {day}: what grows on is burnt back, and water in pipes can freeze."
                )
                : Phrase.Of($"The forecast has a freeze on {day}."),
            Phrase.Of(
                $"air down to about {Quantity.TemperatureC(low)}, between {Quantity.TemperatureC(Quantile.At(lows, 0.1))} and {Quantity.TemperatureC(Quantile.At(lows, 0.9))}"
            ),
            Phrase.Of(
                $"freeze {Quantity.TemperatureC(FreezeC)}, hard freeze {Quantity.TemperatureC(HardFreezeC)} at screen height; the grass is colder on a clear calm night"
            ),
            "the forecast with its usual error; levels 36, 32 and 28 °F: NWS Jackson"
        );
    }

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var season = Season.At(year.Date, From, Until);
        var comes = Comes(year, season);
        var usual = Marks.UsualFreeze(year, season.Year);
        return new()
        {
            Kind = WindowKind.FirstFreeze,
            Season = season.Year,
            Grass = year.Lawn.Grass,
            Name = Phrase.Of($"First freeze"),
            Standing = Standings.OfEvent(year, comes),
            Opens = comes,
            Steps =
            [
                Phrase.Of($"Disconnect hoses and drain what can freeze before the first freeze."),
                .. year.Lawn.Irrigated
                    ?
                    [
                        Phrase.Of(
                            $"Turn the sprinklers off for the nights that freeze, and cover or drain pipes that stand above the ground."
                        ),
                    ]
                    : ImmutableArray<Phrase>.Empty,
                Phrase.Of($"Do not water or walk on the grass while it is frozen."),
            ],
            Why =
            [
                .. Foretold(year, comes),
                new(
                    Id,
                    AdviceWeight.Informs,
                    usual is { } date
                        ? Phrase.Of(
                            $"Half of the past winters here had their first freeze by {date}."
                        )
                        : Phrase.Of($"Half or more of the past winters here had no freeze."),
                    Told.Dates(comes),
                    Phrase.Of(
                        $"air at or below {Quantity.TemperatureC(FreezeC)} at screen height; low spots freeze earlier"
                    ),
                    "levels 36, 32 and 28 °F: NWS Jackson; median of past seasons: NCEI and MRCC freeze dates"
                ),
                .. Told.Basis(year),
            ],
            Basis = year.Outlook.Basis,
        };
    }
}
