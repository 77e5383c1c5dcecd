using NodaTime;

namespace TurfWatch.Core.Tests;

/// <summary>
/// Season outlooks of our own making, without the physics: one wave a year in the air, and the wave that it makes at
/// 10 cm in a soil of diffusivity 5e-7 m²/s, damped to 0.9557 and 2.64 days late (Hillel 1982: D = √(2α/ω), at 4 in).
/// </summary>
internal static class MadeOutlook
{
    /// <summary>Damping and delay of the year's wave at 4 in.</summary>
    public const double SoilDamping = 0.9557;

    /// <summary>Delay of the wave of the year at 4 in [days].</summary>
    public const double SoilLagDays = 2.64;

    /// <summary>Air temperature of the wave, mean of the day [°C]: mean on 15 April and in mid-October, warmest in mid-July.</summary>
    public static double AirC(LocalDate date, double meanC = 15, double amplitudeK = 12) =>
        Wave(date, 0, meanC, amplitudeK);

    /// <summary>Soil temperature of the wave at 10 cm [°C].</summary>
    public static double SoilC(LocalDate date, double meanC = 15, double amplitudeK = 12) =>
        Wave(date, SoilLagDays, meanC, SoilDamping * amplitudeK);

    /// <summary>An outlook in which course k of n is a year that is warmer or colder throughout, in even steps from -yearSpreadK to +yearSpreadK.</summary>
    /// <param name="today">The first day not wholly past.</param>
    /// <param name="meanC">Mean of the year [°C].</param>
    /// <param name="amplitudeK">Half the range from winter to summer [K].</param>
    /// <param name="yearSpreadK">How far the coldest and warmest year lie from the mean [K].</param>
    /// <param name="courses">Past years.</param>
    /// <param name="pastDays">Days known before today; 0 for climate alone.</param>
    /// <param name="daysAhead">Days of each course.</param>
    /// <param name="soilErrorC">The model's own error [°C].</param>
    /// <param name="rainMm">Rain of a day [mm]; 2 mm every day unless told.</param>
    /// <param name="halfDayRangeK">Maximum and minimum lie this far from the mean [K].</param>
    public static SeasonOutlook Sine(
        LocalDate today,
        double meanC = 15,
        double amplitudeK = 12,
        double yearSpreadK = 2,
        int courses = 20,
        int pastDays = 300,
        int daysAhead = 365,
        double soilErrorC = 1.5,
        Func<LocalDate, double>? rainMm = null,
        double halfDayRangeK = 6
    )
    {
        SiteDays Make(LocalDate first, int count, double warmerK) =>
            Days(
                first,
                count,
                d => AirC(d, meanC + warmerK, amplitudeK),
                d => SoilC(d, meanC + warmerK, amplitudeK),
                rainMm,
                halfDayRangeK
            );

        return new()
        {
            Today = today,
            Basis = pastDays > 0 ? OutlookBasis.ThisYear : OutlookBasis.ClimateAlone,
            ForecastDays = pastDays > 0 ? 7 : 0,
            Past = Make(today.PlusDays(-pastDays), pastDays, 0),
            Traces =
            [
                .. Enumerable
                    .Range(0, courses)
                    .Select(k => new OutlookTrace(
                        today.Year - courses + k,
                        Make(
                            today,
                            daysAhead,
                            courses == 1 ? 0 : yearSpreadK * ((2.0 * k / (courses - 1)) - 1)
                        )
                    )),
            ],
            UsualSoil10CmC =
            [
                .. Enumerable
                    .Range(0, PlaceClimate.Days)
                    .Select(i => SoilC(new LocalDate(2000, 1, 1).PlusDays(i), meanC, amplitudeK)),
            ],
            SoilErrorC = soilErrorC,
        };
    }

    /// <summary>Days of which every column is known, from the air and the soil at 10 cm.</summary>
    public static SiteDays Days(
        LocalDate first,
        int count,
        Func<LocalDate, double> airC,
        Func<LocalDate, double> soilC,
        Func<LocalDate, double>? rainMm = null,
        double halfDayRangeK = 6
    )
    {
        double[] Column(Func<LocalDate, double> of) =>
            [.. Enumerable.Range(0, count).Select(i => of(first.PlusDays(i)))];

        return new()
        {
            First = first,
            Soil5CmC = Column(soilC),
            Soil10CmC = Column(soilC),
            AirMeanC = Column(airC),
            AirMinC = Column(d => airC(d) - halfDayRangeK),
            AirMaxC = Column(d => airC(d) + halfDayRangeK),
            RainMm = Column(rainMm ?? (_ => 2)),
            Et0Mm = Column(d => Math.Max(0.3, 0.18 * airC(d))),
            ShortwaveMJM2 = Column(d => Wave(d, -24, 16, 9)),
            HumidityPercent = Column(_ => 65),
            WetHours = Column(_ => 9),
            AvailableWater = Column(_ => 0.7),
        };
    }

    private static double Wave(LocalDate date, double lagDays, double meanC, double amplitudeK) =>
        meanC + (amplitudeK * Math.Sin(2 * Math.PI * (date.DayOfYear - lagDays - 105) / 365));
}
