using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>A feeding as its rule wants it, before the law and the record are asked.</summary>
internal sealed record Feeding
{
    /// <summary>Which feeding.</summary>
    public required WindowKind Kind { get; init; }

    /// <summary>Its season.</summary>
    public required int Season { get; init; }

    /// <summary>Which of several.</summary>
    public int Ordinal { get; init; }

    /// <summary>The grass that is fed.</summary>
    public required GrassKind Grass { get; init; }

    /// <summary>Its name.</summary>
    public required Phrase Name { get; init; }

    /// <summary>When it opens.</summary>
    public required DateSpread Opens { get; init; }

    /// <summary>When it closes.</summary>
    public required DateSpread Closes { get; init; }

    /// <summary>From this day on it is closing soon whatever the closing date; null when nothing says so.</summary>
    public LocalDate? SoonFrom { get; init; }

    /// <summary>Best dates.</summary>
    public DateSpread? Best { get; init; }

    /// <summary>Nitrogen wanted [g/m²]; 0 for none, null for that of <see cref="FeedPlan"/>.</summary>
    public double? NitrogenGM2 { get; init; }

    /// <summary>What to do.</summary>
    public required ImmutableArray<Phrase> Steps { get; init; }

    /// <summary>Amounts when no nitrogen is wanted.</summary>
    public ImmutableArray<Phrase> WithoutNitrogen { get; init; } = [];

    /// <summary>Why then.</summary>
    public required ImmutableArray<Finding> Why { get; init; }

    /// <summary>Why not this time; null when nothing speaks against it.</summary>
    public Phrase? Withheld { get; init; }

    /// <summary>A feeding on record from this day on counts for it; null means from its opening.</summary>
    public LocalDate? CountsFrom { get; init; }

    /// <summary>Cautions of this feeding beside those of every one.</summary>
    public ImmutableArray<Phrase> Cautions { get; init; } = [];

    /// <summary>The window: narrowed by the law, done when the record says so, with amounts.</summary>
    public SeasonWindow Window(LawnYear year)
    {
        var legal = Legal.Within(year, Opens, Closes);
        var fed = Fed(year, legal);
        var given = Given(year);
        var lately = fed is null && NitrogenGM2 is not 0 ? Lately(given, legal) : null;
        var opens = lately is { } rested
            ? legal.Opens.NoEarlierThan(rested.PlusWeeks(FeedAmount.WeeksBetween))
            : legal.Opens;
        var why =
            Withheld
            ?? (given is { Full: true } full ? Had(full) : null)
            ?? (
                lately is { } last && opens.Median > legal.Closes.Median
                    ? Phrase.Of(
                        $"You fed on {last}, and its time ends about {legal.Closes.Median!.Value}, before four weeks are over."
                    )
                    : null
            );
        var shut = why is not null || legal.Shut;
        var withheld = why is { } reason
            ? new Finding(
                "feeding",
                AdviceWeight.Blocks,
                reason,
                Told.Dates(Opens),
                Phrase.Of($"nothing on record or in the soil speaks against it"),
                "your journal and the rule below"
            )
            : null;
        return new()
        {
            Kind = Kind,
            Season = Season,
            Ordinal = Ordinal,
            Grass = Grass,
            Name = Name,
            Standing =
                fed is not null ? WindowStanding.Done
                : shut ? WindowStanding.Withheld
                : Standings.Of(year, opens, legal.Closes, SoonFrom),
            Opens = opens,
            Best = Best,
            Closes = legal.Closes,
            Steps = shut ? [] : Steps,
            Amounts = shut ? [] : Amounts(year, legal, given),
            AdvisedGM2 = shut || NitrogenGM2 is 0 ? null : Advised(year, legal, given),
            Why =
            [
                .. new[]
                {
                    withheld,
                    legal.Said,
                    OnRecord(fed),
                    shut || lately is null ? null : AfterTheLast(lately.Value),
                }.OfType<Finding>(),
                .. Why,
                .. Told.Basis(year),
            ],
            Cautions = shut ? [] : [.. Cautions, .. OfEvery(year)],
            Basis = year.Outlook.Basis,
        };
    }

    // The last feeding, when it is so near that this one must wait for it.
    private static LocalDate? Lately(NitrogenGiven? given, Legal legal) =>
        given?.Last is { } last
        && last < legal.Opens.Median
        && last.PlusWeeks(FeedAmount.WeeksBetween) > legal.Opens.Median
            ? last
            : null;

    private static Finding AfterTheLast(LocalDate last) =>
        new(
            "feeding",
            AdviceWeight.Limits,
            Phrase.Of($"You fed on {last}: the next comes four weeks after it at the earliest."),
            Phrase.Of($"fed {last}"),
            Phrase.Of($"{FeedAmount.WeeksBetween} weeks between feedings"),
            "common practice, no source"
        );

    private JournalEntry? Fed(LawnYear year, Legal legal)
    {
        var from = CountsFrom ?? legal.Opens.Median;
        return from is { } start
            ? RecordOf.Fed(year, Grass, start, legal.Closes.Median ?? year.Date)
            : null;
    }

    private ImmutableArray<Phrase> Amounts(LawnYear year, Legal legal, NitrogenGiven? given)
    {
        if (NitrogenGM2 is 0)
        {
            return WithoutNitrogen;
        }

        return FeedAmount.Phrases(
            year.Lawn,
            Wanted(year, given),
            FeedPlan.Of(year.Lawn, Grass, Kind).Lean,
            Grass,
            Day(year, legal)
        );
    }

    // What the amounts come to: no more than the law lets be given at once.
    private double Advised(LawnYear year, Legal legal, NitrogenGiven? given) =>
        FeedAmount.Allowed(
            FertilizerLaw.For(year.Lawn.Place.State, Day(year, legal)),
            Wanted(year, given)
        );

    private double Wanted(LawnYear year, NitrogenGiven? given)
    {
        var wanted = NitrogenGM2 ?? FeedPlan.Of(year.Lawn, Grass, Kind).NitrogenGM2;
        return given is null ? wanted : Math.Min(wanted, given.RoomGM2);
    }

    private static LocalDate Day(LawnYear year, Legal legal) =>
        LocalDate.Max(year.Date, legal.Opens.Median ?? year.Date);

    // What the grass was given in this window's season; null when that season is not the one that runs.
    private NitrogenGiven? Given(LawnYear year) =>
        NitrogenGiven
            .Of(year.Lawn, year.Record, year.Date, year.Outlook.Past)
            .FirstOrDefault(g => g.Grass == Grass && g.From.Year == Season);

    private static Phrase Had(NitrogenGiven given) =>
        Phrase.Of(
            $"By your journal the {Grasses.Of(given.Grass).Name} has had {new Quantity(QuantityKind.AreaRate, given.NitrogenGM2)} of nitrogen since {given.From}: {new Quantity(QuantityKind.AreaRate, given.Need.SeasonMaxGM2)} is the most for its season."
        );

    private static Finding? OnRecord(JournalEntry? fed) =>
        fed is null
            ? null
            : new(
                "feeding",
                AdviceWeight.Informs,
                Phrase.Of($"Your journal says that you fed on {fed.Date}."),
                Phrase.Of($"fed {fed.Date}"),
                Phrase.Of($"one feeding in this window"),
                "your journal"
            );

    private static IEnumerable<Phrase> OfEvery(LawnYear year) =>
        [
            Phrase.Of(
                $"The label has the last word. Spread on dry leaves, water in the same day, not before heavy rain, not on frozen ground or in drought."
            ),
            Phrase.Of(
                $"Sweep what falls on paths and drives back onto the grass; keep children and pets off until it is watered in and dry."
            ),
            FertilizerLaw.For(year.Lawn.Place.State).LookUp,
        ];
}
