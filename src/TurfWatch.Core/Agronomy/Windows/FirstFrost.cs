using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>The first frost of the cold season: screen air at or below 36 °F.</summary>
/// <remarks>On a clear calm night grass is colder than the air at the screen; NWS Jackson counts 36 °F there as first frost.</remarks>
internal static class FirstFrost
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "first-frost";

    /// <summary>Minimum of the day at or below which frost is likely on grass: 36 °F [°C].</summary>
    public const double FrostC = 2.2;

    private static readonly AnnualDate From = new(8, 1);
    private static readonly AnnualDate Until = new(3, 31);

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var season = Season.At(year.Date, From, Until);
        var comes = FirstDay.Of(
            year.Outlook,
            season.From,
            season.Until,
            (course, i) => course.AirMinC[i] <= FrostC
        );
        return new()
        {
            Kind = WindowKind.FirstFrost,
            Season = season.Year,
            Grass = year.Lawn.Grass,
            Name = Phrase.Of($"First frost"),
            Standing = Standings.OfEvent(year, comes),
            Opens = comes,
            Steps =
            [
                Phrase.Of($"Keep off the grass while it is white: frozen blades break underfoot."),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Informs,
                    Phrase.Of(
                        $"On a clear calm night the grass is colder than the air above it: frost can lie from {Quantity.TemperatureC(FrostC)} at screen height."
                    ),
                    Told.Dates(comes),
                    Phrase.Of($"air at or below {Quantity.TemperatureC(FrostC)} at screen height"),
                    "first frost 36 °F: NWS Jackson; frozen leaves and traffic: NC State Extension AG-763W"
                ),
                .. Told.Basis(year),
            ],
            Basis = year.Outlook.Basis,
        };
    }
}
