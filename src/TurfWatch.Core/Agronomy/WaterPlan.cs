using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Physics;

namespace TurfWatch.Core.Agronomy;

/// <summary>One day of the coming week as the water plan sees it.</summary>
/// <param name="Date">The day.</param>
/// <param name="RainMm">Rain in the forecast [mm]; NaN when not known.</param>
/// <param name="RainChancePercent">Highest chance of rain in an hour [%]; NaN when not known.</param>
/// <param name="DemandMm">Water that an unstressed lawn uses [mm].</param>
/// <param name="Et0Mm">Reference evapotranspiration [mm].</param>
/// <param name="MinC">Least air temperature [°C].</param>
/// <param name="MaxC">Most air temperature [°C].</param>
public readonly record struct WaterDay(
    LocalDate Date,
    double RainMm,
    double RainChancePercent,
    double DemandMm,
    double Et0Mm,
    double MinC,
    double MaxC
)
{
    /// <summary>Chance from which rain is counted on, and watering waits for it; judgement.</summary>
    public const double LikelyPercent = 60;

    /// <summary>Rain that can be counted on [mm]: all of it when its chance is not known.</summary>
    public double LikelyRainMm =>
        double.IsNaN(RainMm) || RainChancePercent < LikelyPercent ? 0 : RainMm;
}

/// <summary>One watering.</summary>
/// <param name="Date">The day.</param>
/// <param name="DepthMm">How deep [mm].</param>
public readonly record struct Watering(LocalDate Date, double DepthMm);

/// <summary>Why a day of need gets no water.</summary>
public enum NoWatering
{
    /// <summary>Rain is likely within two days.</summary>
    RainAhead,

    /// <summary>A freezing night.</summary>
    Freezing,

    /// <summary>Not one of the owner's days.</summary>
    NotAllowed,
}

/// <summary>The week's water: what is missing, what rain should bring, what to give and when.</summary>
/// <param name="Water">The balance up to yesterday.</param>
/// <param name="Days">The coming days, up to seven.</param>
/// <param name="EasyMm">Deficit from which the grass is short, RAW [mm].</param>
/// <param name="Waterings">When to water, and how deep; empty when nothing is needed or nothing can be said.</param>
/// <param name="Held">Days on which water would have been due, and why it is not given.</param>
/// <param name="EndMm">Deficit at the end of the week without watering, as reckoned [mm].</param>
/// <param name="EndLeastMm">The same if rain brings half as much again and the lawn uses less [mm].</param>
/// <param name="EndMostMm">The same if rain that is not likely stays away and the lawn uses more [mm].</param>
public sealed record WaterPlan(
    LawnWater Water,
    ImmutableArray<WaterDay> Days,
    double EasyMm,
    ImmutableArray<Watering> Waterings,
    ImmutableArray<(LocalDate Date, NoWatering Why)> Held,
    double EndMm,
    double EndLeastMm,
    double EndMostMm
)
{
    /// <summary>Days planned.</summary>
    public const int Length = 7;

    /// <summary>Less than this is not worth a watering [mm], or half of what is easily had where the soil holds little; judgement.</summary>
    public const double LeastMm = 6;

    /// <summary>No sprinklers in a night with air at or below this: 36 °F, where frost begins [°C].</summary>
    public const double FreezingC = 2.2;

    /// <summary>Share of the deficit that likely rain of two days must bring to be waited for; judgement.</summary>
    public const double WorthWaiting = 0.5;

    /// <summary>Use of water by an unstressed lawn in the coming days [mm].</summary>
    public double DemandMm => Days.Sum(d => double.IsNaN(d.DemandMm) ? 0 : d.DemandMm);

    /// <summary>Rain in the forecast [mm]; days that are not known count as none.</summary>
    public double RainMm => Days.Sum(d => double.IsNaN(d.RainMm) ? 0 : d.RainMm);

    /// <summary>Depth to give this week [mm].</summary>
    public double GiveMm => Waterings.Sum(w => w.DepthMm);

    /// <summary>Plans the week that begins with the year's date.</summary>
    /// <param name="year">The year.</param>
    /// <param name="from">First day that can still be watered before dawn.</param>
    public static WaterPlan Of(LawnYear year, LocalDate from)
    {
        var water = LawnWater.Of(year);
        var days = Ahead(year);
        var demand = days.IsEmpty
            ? 0
            : days.Average(d => double.IsNaN(d.DemandMm) ? 0 : d.DemandMm);
        var easy = water.Zone.EasyMm(demand);
        var start = double.IsNaN(water.NowMm) ? EasyStart(water, easy) : water.NowMm;
        var held = ImmutableArray.CreateBuilder<(LocalDate, NoWatering)>();
        var waterings = Schedule(year, water, days, easy, start, from, held);
        return new(
            water,
            days,
            easy,
            waterings,
            held.ToImmutable(),
            End(water.NowMm, 1, d => Known(d.RainMm)),
            End(water.NowLeastMm, 1 - TurfKc.Doubt, d => 1.5 * Known(d.RainMm)),
            End(water.NowMostMm, 1 + TurfKc.Doubt, d => d.LikelyRainMm / 2)
        );

        double End(double deficit, double use, Func<WaterDay, double> rain) =>
            days.Aggregate(
                deficit,
                (d, day) =>
                    double.IsNaN(day.DemandMm)
                        ? d
                        : water.Zone.Step(d, rain(day), 0, day.Et0Mm, use * day.DemandMm)
            );
    }

    // Waterings that nobody wrote down: the owner has kept up so far, so half of what is easily had is gone.
    private static double EasyStart(LawnWater water, double easy) =>
        water.Unwritten ? easy / 2 : double.NaN;

    private static double Known(double mm) => double.IsNaN(mm) ? 0 : mm;

    private static ImmutableArray<Watering> Schedule(
        LawnYear year,
        LawnWater water,
        ImmutableArray<WaterDay> days,
        double easy,
        double start,
        LocalDate from,
        ImmutableArray<(LocalDate, NoWatering)>.Builder held
    )
    {
        if (double.IsNaN(start) || water.Growing.Canopy == CanopyState.Dormant)
        {
            return [];
        }

        var waterings = ImmutableArray.CreateBuilder<Watering>();
        var deficit = start;
        for (var i = 0; i < days.Length; i++)
        {
            var day = days[i];
            var given = 0.0;
            if (day.Date >= from && Due(i, deficit))
            {
                if (Obstacle(i, deficit) is { } why)
                {
                    held.Add((day.Date, why));
                }
                else
                {
                    given = deficit;
                    waterings.Add(new(day.Date, given));
                }
            }

            if (!double.IsNaN(day.DemandMm))
            {
                deficit = water.Zone.Step(
                    deficit,
                    day.LikelyRainMm,
                    given,
                    day.Et0Mm,
                    day.DemandMm
                );
            }
        }

        return waterings.ToImmutable();

        // Short now, or short before the next day on which the owner may water.
        bool Due(int i, double d)
        {
            if (d < Math.Min(LeastMm, easy / 2))
            {
                return false;
            }

            for (var k = i; k < days.Length; k++)
            {
                d += Known(days[k].DemandMm) - days[k].LikelyRainMm;
                if (d >= easy)
                {
                    return true;
                }

                if (k + 1 < days.Length && Allowed(year.Lawn, days[k + 1].Date))
                {
                    return false;
                }
            }

            return false;
        }

        NoWatering? Obstacle(int i, double d) =>
            !Allowed(year.Lawn, days[i].Date) ? NoWatering.NotAllowed
            : days[i].MinC <= FreezingC ? NoWatering.Freezing
            : days[i].LikelyRainMm + (i + 1 < days.Length ? days[i + 1].LikelyRainMm : 0)
            >= WorthWaiting * d
                ? NoWatering.RainAhead
            : null;
    }

    /// <summary>Whether the owner may water on a day.</summary>
    public static bool Allowed(Lawn lawn, LocalDate date) =>
        lawn.WaterDays.IsDefaultOrEmpty || lawn.WaterDays.Contains(date.DayOfWeek);

    // Days of the forecast from its hours; those it does not cover whole from the middle of the courses.
    private static ImmutableArray<WaterDay> Ahead(LawnYear year)
    {
        var zone = year.Lawn.Place.Zone;
        var hours = SiteDaysOf.Conditions(year.Site, zone);
        var soilC = GrowthOfLawn.MeanSoilC(year.Outlook.Past, year.Date.PlusDays(-1));
        var days = ImmutableArray.CreateBuilder<WaterDay>();
        for (var ahead = 0; ahead < Length; ahead++)
        {
            var date = year.Date.PlusDays(ahead);
            var et0 = At(hours.Et0Mm, hours, date);
            var forecast = !double.IsNaN(et0);
            et0 = forecast ? et0 : Middle(year, date, d => d.Et0Mm);
            days.Add(
                new(
                    date,
                    forecast ? At(hours.RainMm, hours, date) : double.NaN,
                    forecast ? Chance(year, date) : double.NaN,
                    LawnWater.DemandOn(year.Lawn, date, soilC, et0),
                    et0,
                    forecast ? At(hours.AirMinC, hours, date) : Middle(year, date, d => d.AirMinC),
                    forecast ? At(hours.AirMaxC, hours, date) : Middle(year, date, d => d.AirMaxC)
                )
            );
        }

        return days.ToImmutable();
    }

    private static double At(double[] column, SiteDays days, LocalDate date)
    {
        var i = days.IndexOf(date);
        return i >= 0 && i < column.Length ? column[i] : double.NaN;
    }

    private static double Middle(LawnYear year, LocalDate date, Func<SiteDays, double[]> column)
    {
        var values = year
            .Outlook.Traces.Select(t => At(column(t.Days), t.Days, date))
            .Where(v => !double.IsNaN(v))
            .Order()
            .ToList();
        return values.Count == 0 ? double.NaN : values[values.Count / 2];
    }

    private static double Chance(LawnYear year, LocalDate date)
    {
        var zone = year.Lawn.Place.Zone;
        var first = year.Site.IndexOf(zone.AtStartOfDay(date).ToInstant()) + 1;
        var last = year.Site.IndexOf(zone.AtStartOfDay(date.PlusDays(1)).ToInstant());
        var most = double.NaN;
        for (var i = Math.Max(0, first); i <= Math.Min(last, year.Site.Count - 1); i++)
        {
            var chance = year.Site.Weather[WeatherColumn.PrecipitationProbabilityPercent][i];
            most = !(chance <= most) && !double.IsNaN(chance) ? chance : most;
        }

        return most;
    }
}
