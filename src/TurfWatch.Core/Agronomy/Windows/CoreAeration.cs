using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy.Windows;

/// <summary>Core aeration, while the grass grows fast and has time to close the holes.</summary>
/// <remarks>
/// University of Arizona master gardener manual: bermudagrass once a year in its vigorous season; K-State (Upham 2013): from
/// mid June to the end of July for thatch on bermudagrass and zoysiagrass; a Missouri extension column (2009): late nitrogen
/// with aeration or vertical mowing adds to winterkill. So warm-season: from three weeks after green-up is well under way
/// (on an overseeded lawn from the end of the transition) until eight weeks before the usual first freeze. Cool-season:
/// late summer and early fall, with four weeks of growth left before the usual first freeze. The numbers of weeks are
/// common practice, no source.
/// </remarks>
internal static class CoreAeration
{
    /// <summary>Id of the rule.</summary>
    public const string Id = "core-aeration";

    /// <summary>Days after green-up is well under way; judgement.</summary>
    public const int DaysAfterGreenUp = 21;

    /// <summary>Days before the usual first freeze by which a warm-season lawn is left alone; common practice, no source.</summary>
    public const int WarmDaysBeforeFreeze = 56;

    /// <summary>The same for a cool-season lawn; common practice, no source.</summary>
    public const int CoolDaysBeforeFreeze = 28;

    private const string Source =
        "bermudagrass in its vigorous season: University of Arizona master gardener manual; late disturbance adds to winterkill: Missouri extension column 2009; the weeks are common practice, no source";

    private static readonly AnnualDate WarmFrom = new(2, 1);
    private static readonly AnnualDate WarmUntil = new(10, 31);

    /// <summary>Judges it.</summary>
    public static SeasonWindow? Judge(LawnYear year)
    {
        var grass = Grasses.Of(year.Lawn.Grass);
        var warm = grass.Season == GrassSeason.Warm;
        var season = warm
            ? Season.At(year.Date, WarmFrom, WarmUntil)
            : CoolSeasonSeeding.SeasonOf(year.Date);
        var opens = warm ? WarmOpens(year, season) : CoolSeasonSeeding.Opens(year, season);
        var freeze = Marks.UsualFreeze(year, season.Year);
        var closes = BeforeSeedlings(
            year,
            season,
            LocalDate.Min(
                freeze?.PlusDays(warm ? -WarmDaysBeforeFreeze : -CoolDaysBeforeFreeze)
                    ?? season.Until,
                season.Until
            )
        );
        var done = RecordOf.Did(year, JournalKind.Aerated, season.From, season.Until);
        return new()
        {
            Kind = WindowKind.CoreAeration,
            Season = season.Year,
            Grass = grass.Kind,
            Name = Phrase.Of($"Core aeration of the {grass.Name}"),
            Standing = done is null ? Standings.Of(year, opens, closes) : WindowStanding.Done,
            Opens = opens,
            Closes = closes,
            Steps =
            [
                Phrase.Of(
                    $"Only if water stands or a screwdriver will not go in: not every lawn needs it each year."
                ),
                Phrase.Of(
                    $"Do it on moist, not wet, ground with hollow tines; leave the cores to crumble."
                ),
            ],
            Why =
            [
                new(
                    Id,
                    AdviceWeight.Supports,
                    done is not null
                        ? Phrase.Of($"Your journal says that you aerated on {done.Date}.")
                        : Phrase.Of(
                            $"The {grass.Name} grows fast now and closes the holes; too near to frost it goes into winter with open wounds."
                        ),
                    Told.Dates(opens),
                    Threshold(year, warm, freeze),
                    Source
                ),
                .. Told.Basis(year),
            ],
            Cautions = Tines,
            Basis = year.Outlook.Basis,
        };
    }

    /// <summary>When a warm-season base can bear rough work: some weeks into its growth, or after the rye has gone.</summary>
    public static DateSpread WarmOpens(LawnYear year, Season season) =>
        year.Lawn.Overseed is not null
            ? SpringTransition.Closes(year, SpringTransition.SeasonOf(season.From))
            : GreenUp.UnderWay(year, GreenUp.SpringOf(season.Year)).Plus(DaysAfterGreenUp);

    /// <summary>Rough work ends when seed is sown: tines would tear the seedlings out (common practice, no source).</summary>
    public static DateSpread BeforeSeedlings(LawnYear year, Season season, LocalDate closes) =>
        DateSpread.On(
            RecordOf.Sown(year, season.From, season.Until, _ => true) is { } sown
                ? LocalDate.Min(closes, sown.Date)
                : closes
        );

    /// <summary>Cautions of machines that cut into the ground.</summary>
    public static ImmutableArray<Phrase> Tines { get; } =
    [
        Phrase.Of(
            $"Mark sprinkler heads, shallow pipes and cables first, and have buried lines located if you do not know where they lie."
        ),
        Phrase.Of($"The machine is heavy: closed shoes, eye and ear protection, nobody near it."),
    ];

    private static Phrase Threshold(LawnYear year, bool warm, LocalDate? freeze)
    {
        var from =
            !warm ? "soil below 75 °F in late summer"
            : year.Lawn.Overseed is null ? "three weeks after green-up is well under way"
            : "after the spring transition";
        return freeze is { } date
            ? Phrase.Of(
                $"{from}, until {(warm ? WarmDaysBeforeFreeze : CoolDaysBeforeFreeze)} days before the usual first freeze, {date}"
            )
            : Phrase.Of($"{from}");
    }
}
