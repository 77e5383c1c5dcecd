using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Advice;

/// <summary>All that a rule may look at: one lawn, one local day, and what is known at one moment.</summary>
public sealed record Morning
{
    private Morning() { }

    /// <summary>The lawn.</summary>
    public required Lawn Lawn { get; init; }

    /// <summary>The owner's journal.</summary>
    public required LawnRecord Record { get; init; }

    /// <summary>What the physics found; soil water that is only a starting guess is missing.</summary>
    public required SiteConditions Site { get; init; }

    /// <summary>Warnings in force and how good the data are.</summary>
    public required CellWeather Weather { get; init; }

    /// <summary>The moment of the advice.</summary>
    public required Instant Now { get; init; }

    /// <summary>The local day that the advice is for.</summary>
    public required LocalDate Date { get; init; }

    /// <summary>The grass that grows now.</summary>
    public required GrowingGrass Growing { get; init; }

    /// <summary>Mean soil temperature of the last five days at 10 cm [°C]; NaN when unknown.</summary>
    public required double SoilC { get; init; }

    /// <summary>The height of cut that the season asks for.</summary>
    public required SeasonalHeight Height { get; init; }

    /// <summary>Whether it needs mowing.</summary>
    public required MowingNeed Need { get; init; }

    /// <summary>The zone in which the owner reads clocks.</summary>
    public DateTimeZone Zone => Lawn.Place.Zone;

    /// <summary>First instant of the local day.</summary>
    public Instant DayStart => Zone.AtStartOfDay(Date).ToInstant();

    /// <summary>First instant of the next local day.</summary>
    public Instant DayEnd => Zone.AtStartOfDay(Date.PlusDays(1)).ToInstant();

    /// <summary>What is left of the day: empty once it is over.</summary>
    public Interval Ahead => new(Instant.Min(Instant.Max(Now, DayStart), DayEnd), DayEnd);

    /// <summary>The hours the owner allows on this day of the week, whole day past and to come; empty on other days.</summary>
    public Interval OwnerHours
    {
        get
        {
            var from = At(Lawn.MowFrom);
            var allowed = Lawn.MowDays.IsDefaultOrEmpty || Lawn.MowDays.Contains(Date.DayOfWeek);
            return allowed ? new(from, Instant.Max(from, At(Lawn.MowUntil))) : new(from, from);
        }
    }

    /// <summary>No mowing whatever the weather: the grass rests, or it is not the owner's day.</summary>
    public bool Closed =>
        Growing.Canopy == CanopyState.Dormant || OwnerHours.Start == OwnerHours.End;

    /// <summary>The depth of 10 cm in the owner's units.</summary>
    public string TenCm => SoilDepth.TenCm(Lawn.Units);

    /// <summary>The depth of 5 cm in the owner's units.</summary>
    public string FiveCm => SoilDepth.FiveCm(Lawn.Units);

    /// <summary>Indexes of the site's hours that end in what is left of the day, and of the one that its end cuts.</summary>
    public IEnumerable<int> HoursAhead
    {
        get
        {
            var first = Site.IndexOf(Ahead.Start + Duration.FromSeconds(1));
            var dayEnd = DayEnd;
            for (var i = Math.Max(0, first); i < Site.Count; i++)
            {
                if (Site.HourEnd(i) - Duration.FromHours(1) >= dayEnd)
                {
                    yield break;
                }

                yield return i;
            }
        }
    }

    /// <summary>The day of a lawn's year, its growth corrected by the record of all the days that the year knows.</summary>
    public static Morning Of(LawnYear year) =>
        Of(
            year.Lawn,
            year.Record,
            year.Site,
            year.Weather,
            year.Now,
            year.Date,
            year.Outlook.Past.Count * 24 > year.Site.Count ? year.Outlook.Past : null
        );

    /// <summary>Puts the inputs together and finds the grass that leads.</summary>
    public static Morning Of(
        Lawn lawn,
        LawnRecord record,
        SiteConditions site,
        CellWeather weather,
        Instant now,
        LocalDate date,
        SiteDays? past = null
    )
    {
        site = KnownSoil.Only(site);
        var soilC = RecentSoilC(site, now) ?? double.NaN;
        var growing = GrowingGrass.On(lawn, date, soilC, record);
        var height = SeasonalHeight.For(lawn, growing, date, soilC, WaterNow(site, now));
        return new()
        {
            Lawn = lawn,
            Record = record,
            Site = site,
            Weather = weather,
            Now = now,
            Date = date,
            Growing = growing,
            SoilC = soilC,
            Height = height,
            Need = MowingNeed.Of(
                lawn,
                growing,
                record,
                site,
                now,
                date,
                // What the owner set is his; the season's height is told beside it.
                lawn.MowingHeightCm
                    is null
                    ? height.Cm
                    : null,
                past is null
                    ? GrowthOfLawn.Correction(lawn, growing, record, site, date)
                    : GrowthOfLawn.Correction(lawn, growing, record, past, date)
            ),
        };
    }

    /// <summary>The hour of <paramref name="index"/> as an interval.</summary>
    public Interval Hour(int index) =>
        new(Site.HourEnd(index) - Duration.FromHours(1), Site.HourEnd(index));

    /// <summary>A local clock time of the day as an instant.</summary>
    public Instant At(LocalTime time) => Date.At(time).InZoneLeniently(Zone).ToInstant();

    /// <summary>
    /// How much a rule's holds weigh: <see cref="AdviceWeight.Blocks"/> when they alone leave no time to
    /// mow in the owner's hours, else <see cref="AdviceWeight.Limits"/>.
    /// </summary>
    public AdviceWeight WeightOf(ImmutableArray<Hold> holds)
    {
        var hours = OwnerHours;
        var from = Instant.Max(hours.Start, Ahead.Start);
        if (from >= hours.End)
        {
            return AdviceWeight.Limits;
        }

        return OpenTime.Find(new(from, hours.End), holds, Lawn.MowingTime).IsEmpty
            ? AdviceWeight.Blocks
            : AdviceWeight.Limits;
    }

    private static double WaterNow(SiteConditions site, Instant now)
    {
        var i = Math.Min(site.IndexOf(now), site.Count - 1);
        return i < 0 ? double.NaN : site.AvailableWaterFraction[i];
    }

    // Mean of the last five days, as the seasonal thresholds of the trade are read.
    private static double? RecentSoilC(SiteConditions site, Instant now)
    {
        var last = Math.Min(site.IndexOf(now), site.Count - 1);
        var known = Enumerable
            .Range(Math.Max(0, last - 119), Math.Max(0, Math.Min(120, last + 1)))
            .Select(i => site.SoilTemperature10CmC[i])
            .Where(t => !double.IsNaN(t))
            .ToList();
        return known.Count >= 12 ? known.Average() : null;
    }
}
