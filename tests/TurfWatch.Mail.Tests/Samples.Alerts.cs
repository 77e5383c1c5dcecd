using TurfWatch.Core;

namespace TurfWatch.Mail.Tests;

public static partial class Samples
{
    public static SeasonAlert Opened() =>
        Alert(RyeFeeding(), WindowEvent.Opened) with
        {
            Subject = Phrase.Of($"feed the winter rye, best by {D(11, 24)}"),
            Headline = Phrase.Of(
                $"The winter rye can have its first feeding now, best by {D(11, 24)}."
            ),
            Offers = [new(JournalKind.Fed, Date, 2.44) { Grade = new(21, 0, 0) }],
        };

    public static SeasonAlert ClosingSoon() =>
        Alert(Overseeding(), WindowEvent.ClosingSoon) with
        {
            Date = D(10, 17),
            MadeAt = At(6, 31) - NodaTime.Duration.FromDays(34),
            Subject = Phrase.Of($"overseeding closes about {D(10, 26)}"),
            Headline = Phrase.Of(
                $"The time to overseed with winter rye is running out: it closes about {D(10, 26)}."
            ),
            Offers =
            [
                new(JournalKind.Seeded, D(10, 17), 48.8) { Grass = GrassKind.PerennialRyegrass },
            ],
        };

    public static SeasonAlert Closed()
    {
        var lawn = Base().Lawn with { Units = UnitSystem.Metric, Name = "Nordwiese" };
        var window = Overseeding() with
        {
            Standing = WindowStanding.Closed,
            Closes = DateSpread.On(D(11, 18)),
            Basis = OutlookBasis.ClimateAlone,
            Steps = [Phrase.Of($"Leave it for this year; rye sown now freezes before it roots.")],
            Amounts = [],
            Best = null,
        };
        return Alert(window, WindowEvent.Closed) with
        {
            Lawn = lawn,
            Subject = Phrase.Of($"too late to overseed this year"),
            Headline = Phrase.Of(
                $"The time to overseed closed on {D(11, 18)}, and nothing on record says that it was done."
            ),
            Facts = [],
            Data = Stale().Data,
        };
    }

    private static SeasonAlert Alert(SeasonWindow window, WindowEvent happened) =>
        new()
        {
            Kind = MessageKind.Alert,
            Date = Date,
            MadeAt = At(6, 31),
            Lawn = Base().Lawn with { AreaM2 = 464.5 },
            Subject = Phrase.Of($""),
            Headline = Phrase.Of($""),
            Window = window,
            Event = happened,
            Cautions = [],
            Facts =
            [
                new(
                    Phrase.Of($"Soil at {Quantity.HeightCm(10.16)}, five-day mean"),
                    Phrase.Of($"{Quantity.TemperatureC(14.2)}")
                ),
                new(Phrase.Of($"Rye growth, of what it can"), Phrase.Of($"{Quantity.Percent(71)}")),
                new(
                    Phrase.Of($"Nitrogen on record since {D(8, 1)}"),
                    Phrase.Of($"{new Quantity(QuantityKind.AreaRate, 0)}")
                ),
            ],
            Data = Base().Data,
        };
}
