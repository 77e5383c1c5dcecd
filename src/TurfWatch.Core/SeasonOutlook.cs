using System.Collections.Immutable;
using NodaTime;

namespace TurfWatch.Core;

/// <summary>What an outlook goes on from.</summary>
public enum OutlookBasis
{
    /// <summary>The soil as it is today, then the forecast, then past years.</summary>
    ThisYear,

    /// <summary>Past years alone: nothing is known of this year.</summary>
    ClimateAlone,
}

/// <summary>One course that the coming year may take: the forecast's days, then those of a past year.</summary>
/// <param name="Year">The past year that the first day after the forecast is from.</param>
/// <param name="Days">The days from today on.</param>
public sealed record OutlookTrace(int Year, SiteDays Days)
{
    /// <summary>
    /// Days before today taken from past years too, because the days that were are not known so far back; null when they are.
    /// What is known of this year lies over them.
    /// </summary>
    public SiteDays? Before { get; init; }
}

/// <summary>
/// The year of one cell and surface class: the days that were, and the courses that the coming ones may take, each
/// as likely as the others (extended streamflow method: Day 1985).
/// </summary>
public sealed record SeasonOutlook
{
    /// <summary>The first day that is not wholly past; the traces begin with it.</summary>
    public required LocalDate Today { get; init; }

    /// <summary>What the traces go on from.</summary>
    public required OutlookBasis Basis { get; init; }

    /// <summary>Days of the traces that come from the forecast.</summary>
    public required int ForecastDays { get; init; }

    /// <summary>The days before today, up to 400 of them; they end with yesterday and may have holes or be empty.</summary>
    public required SiteDays Past { get; init; }

    /// <summary>The courses; empty when no past years are known.</summary>
    public required ImmutableArray<OutlookTrace> Traces { get; init; }

    /// <summary>
    /// Usual soil temperature at 10 cm on each day of the year [°C], the physics over all past years: 366 entries in
    /// the order of <see cref="PlaceClimate.IndexOf"/>; empty when not known.
    /// </summary>
    public ImmutableArray<double> UsualSoil10CmC { get; init; } = [];

    /// <summary>Standard deviation of the model's own error of the daily soil temperature [°C].</summary>
    public double SoilErrorC { get; init; } = 1.5;
}
