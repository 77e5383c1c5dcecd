using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>What a rule of law is about.</summary>
public enum LawKind
{
    /// <summary>Dates on which no nitrogen may be spread.</summary>
    BlackOut,

    /// <summary>Most nitrogen at once.</summary>
    Cap,

    /// <summary>Most nitrogen at once on some dates.</summary>
    SeasonCap,

    /// <summary>Share of slow-release nitrogen.</summary>
    SlowShare,

    /// <summary>No phosphorus without a soil test that asks for it.</summary>
    PhosphorusTest,

    /// <summary>Not on frozen ground.</summary>
    FrozenGround,

    /// <summary>Not on saturated ground.</summary>
    SaturatedGround,

    /// <summary>Not before heavy rain.</summary>
    HeavyRain,

    /// <summary>Not on dormant grass.</summary>
    Dormant,

    /// <summary>A distance from water.</summary>
    Setback,

    /// <summary>Something to look up: it is told and not enforced.</summary>
    Local,
}

/// <summary>One rule of a state on lawn fertilizer, with where and when it was read.</summary>
/// <param name="Kind">What it is about.</param>
/// <param name="Text">What it says, to follow a colon.</param>
/// <param name="Source">Where and when we read it.</param>
/// <param name="From">First day of its part of the year; null when it holds all year.</param>
/// <param name="Until">Last day of it.</param>
/// <param name="TotalGM2">Most nitrogen at once [g/m²]; null when not its matter.</param>
/// <param name="SolubleGM2">Most soluble nitrogen at once [g/m²].</param>
/// <param name="SeasonGM2">Most nitrogen in a year [g/m²].</param>
/// <param name="SlowSharePercent">Least share of slow-release nitrogen [%].</param>
public sealed record LawRule(
    LawKind Kind,
    string Text,
    string Source,
    AnnualDate? From,
    AnnualDate? Until,
    double? TotalGM2,
    double? SolubleGM2,
    double? SeasonGM2,
    double? SlowSharePercent
)
{
    /// <summary>Whether the rule holds on a date; one for a part of the year does not hold when the date is not known.</summary>
    public bool HoldsOn(LocalDate? date)
    {
        if (From is not { } from || Until is not { } until)
        {
            return true;
        }

        if (date is not { } known)
        {
            return false;
        }

        var day = new AnnualDate(known.Month, known.Day);
        return from <= until ? day >= from && day <= until : day >= from || day <= until;
    }
}

/// <summary>
/// What we have read of a state's law on lawn fertilizer, on one day. It is never the whole of it: the owner looks up
/// what holds at his place.
/// </summary>
/// <param name="State">Two-letter code.</param>
/// <param name="Name">The state's name; the code when we know nothing of it.</param>
/// <param name="Rules">All rules read.</param>
/// <param name="Date">The day; null when none is meant, and then no rule of a part of the year holds.</param>
public sealed record FertilizerLaw(
    string State,
    string Name,
    ImmutableArray<LawRule> Rules,
    LocalDate? Date
)
{
    /// <summary>What we have read for a state; without rules when nothing.</summary>
    /// <param name="state">Two-letter code, any case.</param>
    /// <param name="date">The day, or null.</param>
    public static FertilizerLaw For(string state, LocalDate? date = null) =>
        LawBook.ByState.TryGetValue(state, out var law)
            ? law with
            {
                Date = date,
            }
            : new(state, state, [], date);

    /// <summary>The rule by which nothing may be spread on the day, or null.</summary>
    public LawRule? BlackOut =>
        Rules.FirstOrDefault(r => r.Kind == LawKind.BlackOut && r.HoldsOn(Date));

    /// <summary>The first day after the black-out that holds on the day, or null.</summary>
    public LocalDate? FreeFrom
    {
        get
        {
            if (BlackOut is not { Until: { } until } || Date is not { } date)
            {
                return null;
            }

            var last = until.InYear(date.Year);
            return (last < date ? until.InYear(date.Year + 1) : last).PlusDays(1);
        }
    }

    /// <summary>Most nitrogen at once [g/m²]; infinite when we know of no limit.</summary>
    public double TotalCapGM2 => Least(r => r.TotalGM2);

    /// <summary>Most soluble nitrogen at once [g/m²].</summary>
    public double SolubleCapGM2 => Least(r => r.SolubleGM2);

    /// <summary>Most nitrogen in a year [g/m²].</summary>
    public double SeasonCapGM2 => Least(r => r.SeasonGM2);

    /// <summary>Least share of slow-release nitrogen [%]; 0 when we know of none.</summary>
    public double SlowSharePercent =>
        Rules
            .Where(r => r.HoldsOn(Date))
            .Select(r => r.SlowSharePercent ?? 0)
            .DefaultIfEmpty(0)
            .Max();

    /// <summary>Whether phosphorus needs a soil test on an established lawn.</summary>
    public bool PhosphorusNeedsTest => Rule(LawKind.PhosphorusTest) is not null;

    /// <summary>The rule of a kind that holds on the day, or null.</summary>
    public LawRule? Rule(LawKind kind) =>
        Rules.FirstOrDefault(r => r.Kind == kind && r.HoldsOn(Date));

    /// <summary>Sends the owner to look it up; names what we know he may meet.</summary>
    public Phrase LookUp =>
        Rules.IsEmpty
            ? Phrase.Of(
                $"We know of no rule on lawn fertilizer for {Name}; that does not mean there is none: ask your county's extension office or look up state and town."
            )
            : Phrase.Of(
                $"{Name} has rules on lawn fertilizer, and your county or town may have stricter ones: look them up; they come before anything here."
            );

    private double Least(Func<LawRule, double?> limit) =>
        Rules
            .Where(r => r.HoldsOn(Date))
            .Select(r => limit(r) ?? double.PositiveInfinity)
            .DefaultIfEmpty(double.PositiveInfinity)
            .Min();
}
