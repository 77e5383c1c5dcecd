using System.Collections.Immutable;
using NodaTime;
using TurfWatch.Core.Agronomy;

namespace TurfWatch.Core.Tests.Advice;

/// <summary>
/// The year around a <see cref="MorningMaker"/>'s morning: its hours for the last days and the forecast, even days
/// before them. Tests change what they speak of.
/// </summary>
internal sealed class LawnYearMaker
{
    public LawnYearMaker(LocalDate? date = null, string now = "05:00", int pastDays = 120)
    {
        Morning = new(date, now);
        Past = Days(Morning.Date.PlusDays(-pastDays), pastDays);
        Ahead = Days(Morning.Date, 21);
    }

    public MorningMaker Morning { get; }

    public SiteDays Past { get; set; }

    public SiteDays Ahead { get; set; }

    public LocalDate Date => Morning.Date;

    public LawnYear Build()
    {
        var site = Morning.Site();
        Array.Fill(site.Et0Mm, Ahead.Et0Mm[0] / 24);
        return new()
        {
            Lawn = Morning.Lawn,
            Record = Morning.Record,
            Site = site,
            Weather = new(site.Weather, Morning.Hazards, Morning.Notes)
            {
                Climate = Morning.Climate,
            },
            Now = Morning.Now,
            Date = Date,
            Outlook = new()
            {
                Today = Date,
                Basis = OutlookBasis.ThisYear,
                ForecastDays = 7,
                Past = Past,
                Traces = [new(2020, Ahead)],
            },
        };
    }

    public LawnYearMaker Journal(JournalKind kind, int daysAgo, double? amount = null)
    {
        Morning.Record = new([
            .. Morning
                .Record.Entries.Add(new(0, kind, Date.PlusDays(-daysAgo), amount))
                .OrderBy(e => e.Date),
        ]);
        return this;
    }

    /// <summary>Sets one column of the days before today.</summary>
    public LawnYearMaker Before(Func<SiteDays, double[]> column, double value)
    {
        Array.Fill(column(Past), value);
        return this;
    }

    /// <summary>Sets one column of the days from today on.</summary>
    public LawnYearMaker Coming(Func<SiteDays, double[]> column, double value)
    {
        Array.Fill(column(Ahead), value);
        return this;
    }

    // Mild, dry days: 20 °C, soil 19 °C, 4 mm of reference evapotranspiration, no rain.
    private static SiteDays Days(LocalDate first, int count)
    {
        return new()
        {
            First = first,
            Soil5CmC = Filled(19),
            Soil10CmC = Filled(19),
            AirMeanC = Filled(20),
            AirMinC = Filled(13),
            AirMaxC = Filled(27),
            RainMm = Filled(0),
            Et0Mm = Filled(4),
            ShortwaveMJM2 = Filled(20),
            HumidityPercent = Filled(55),
            WetHours = Filled(4),
            AvailableWater = Filled(0.9),
        };

        double[] Filled(double value)
        {
            var column = new double[count];
            Array.Fill(column, value);
            return column;
        }
    }
}
