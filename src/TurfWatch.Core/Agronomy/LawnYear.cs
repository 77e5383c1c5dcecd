using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>All that the advice of the season is worked out from, for one lawn and one day.</summary>
public sealed record LawnYear
{
    /// <summary>The lawn.</summary>
    public required Lawn Lawn { get; init; }

    /// <summary>The owner's journal.</summary>
    public required LawnRecord Record { get; init; }

    /// <summary>The days that were and the courses that the coming ones may take.</summary>
    public required SeasonOutlook Outlook { get; init; }

    /// <summary>Hour by hour: the last weeks and the forecast.</summary>
    public required SiteConditions Site { get; init; }

    /// <summary>Warnings in force, the usual climate, and how good the data are.</summary>
    public required CellWeather Weather { get; init; }

    /// <summary>The present.</summary>
    public required Instant Now { get; init; }

    /// <summary>The local date.</summary>
    public required LocalDate Date { get; init; }
}
