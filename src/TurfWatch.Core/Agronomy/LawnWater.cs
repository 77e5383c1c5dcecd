using NodaTime;

namespace TurfWatch.Core.Agronomy;

/// <summary>The water balance of one lawn, day by day up to yesterday, with what its owner says he gave.</summary>
/// <remarks>
/// The physics of the site has a balance of its own, hour by hour, for all lawns of a kind: there a watered lawn is
/// watered by the model. This one knows the lawn's own waterings and is what the advice on water rests on.
/// </remarks>
public sealed record LawnWater
{
    /// <summary>Days looked back at most.</summary>
    public const int LookBackDays = 90;

    /// <summary>A watered lawn whose journal knows no watering for so many days is one whose waterings are not written down.</summary>
    public const int UnwrittenDays = 21;

    /// <summary>The first day.</summary>
    public required LocalDate First { get; init; }

    /// <summary>The root zone today.</summary>
    public required RootZone Zone { get; init; }

    /// <summary>The grass that drinks today.</summary>
    public required GrowingGrass Growing { get; init; }

    /// <summary>Water missing at the end of each day, D_r [mm].</summary>
    public required double[] DeficitMm { get; init; }

    /// <summary>The same if the lawn uses less than reckoned and was full at the start [mm].</summary>
    public required double[] LeastDeficitMm { get; init; }

    /// <summary>The same if it uses more and was empty [mm].</summary>
    public required double[] MostDeficitMm { get; init; }

    /// <summary>Water used by an unstressed lawn, ET_c [mm]; NaN when not known.</summary>
    public required double[] DemandMm { get; init; }

    /// <summary>Rain [mm]; NaN when not known.</summary>
    public required double[] RainMm { get; init; }

    /// <summary>Water given by the owner [mm].</summary>
    public required double[] WateringMm { get; init; }

    /// <summary>The lawn is watered, but lately nothing is written down of it: the deficit is not known.</summary>
    public required bool Unwritten { get; init; }

    /// <summary>Number of days.</summary>
    public int Count => DeficitMm.Length;

    /// <summary>Deficit now, central [mm]; NaN when not known.</summary>
    public double NowMm => Count == 0 || Unwritten ? double.NaN : DeficitMm[^1];

    /// <summary>Deficit now, least likely [mm].</summary>
    public double NowLeastMm => Count == 0 || Unwritten ? double.NaN : LeastDeficitMm[^1];

    /// <summary>Deficit now, most likely [mm].</summary>
    public double NowMostMm => Count == 0 || Unwritten ? double.NaN : MostDeficitMm[^1];

    /// <summary>
    /// Reckons it. Three runs: as reckoned from half full; a fifth less use from full; a fifth more from empty. A soaking
    /// rain brings them together. A day whose rain or evapotranspiration is not known sets the outer two apart again.
    /// </summary>
    public static LawnWater Of(LawnYear year)
    {
        var past = year.Outlook.Past;
        var from = Math.Max(0, past.Count - LookBackDays);
        var count = past.Count - from;
        var soilC = GrowthOfLawn.MeanSoilC(past, year.Date.PlusDays(-1));
        var growing = GrowingGrass.On(year.Lawn, year.Date, soilC, year.Record);
        var zone = RootZone.Of(year.Lawn.Soil, growing.Grass);
        var (mid, least, most) = (zone.TotalMm / 2, 0.0, zone.TotalMm);
        var water = new LawnWater
        {
            First = past.First.PlusDays(from),
            Zone = zone,
            Growing = growing,
            DeficitMm = new double[count],
            LeastDeficitMm = new double[count],
            MostDeficitMm = new double[count],
            DemandMm = new double[count],
            RainMm = new double[count],
            WateringMm = new double[count],
            Unwritten = IsUnwritten(year),
        };
        for (var i = 0; i < count; i++)
        {
            var date = water.First.PlusDays(i);
            var et0 = past.Et0Mm[from + i];
            var rain = past.RainMm[from + i];
            var demand = DemandOn(
                year.Lawn,
                date,
                GrowthOfLawn.MeanSoilC(past, date),
                et0,
                year.Record
            );
            var given = GivenMm(year.Record, date);
            if (double.IsNaN(rain) || double.IsNaN(demand))
            {
                (least, most) = (0, zone.TotalMm);
            }
            else
            {
                mid = zone.Step(mid, rain, given, et0, demand);
                least = zone.Step(least, rain, given, et0, demand * (1 - TurfKc.Doubt));
                most = zone.Step(most, rain, given, et0, demand * (1 + TurfKc.Doubt));
            }

            water.DeficitMm[i] = mid;
            water.LeastDeficitMm[i] = least;
            water.MostDeficitMm[i] = most;
            water.DemandMm[i] = demand;
            water.RainMm[i] = rain;
            water.WateringMm[i] = given;
        }

        return water;
    }

    /// <summary>ET_c of a day without stress [mm]: K_c ET_0 of the grass that leads then; NaN for NaN.</summary>
    public static double DemandOn(
        Lawn lawn,
        LocalDate date,
        double soilC,
        double et0Mm,
        LawnRecord? record = null
    )
    {
        var growing = GrowingGrass.On(lawn, date, soilC, record);
        var kc =
            growing.Canopy == CanopyState.Dormant
                ? TurfKc.AtRest
                : TurfKc.Of(growing.Grass.Season, date.Month);
        return kc * TurfKc.ShadeFactor(lawn.Shade) * et0Mm;
    }

    private static double GivenMm(LawnRecord record, LocalDate date) =>
        record
            .Entries.Where(e => e.Kind == JournalKind.Watered && e.Date == date)
            .Sum(e => e.Amount is > 0 and <= 200 ? e.Amount.Value : 0);

    private static bool IsUnwritten(LawnYear year)
    {
        var last = year.Record.Entries.LastOrDefault(e =>
            e.Kind == JournalKind.Watered && e.Date <= year.Date
        );
        return last is null
            ? year.Lawn.Irrigated
            : last.Amount is null
                || (
                    year.Lawn.Irrigated && Period.DaysBetween(last.Date, year.Date) > UnwrittenDays
                );
    }
}
