namespace TurfWatch.Host.Demo;

/// <summary>
/// The climate that invented weather is drawn from. All numbers are made up for the demo: plausible
/// for the kind of town, measured nowhere.
/// </summary>
/// <param name="MeanC">Mean temperature, by month [°C].</param>
/// <param name="SwingK">Day's high minus night's low under a clear sky, by month [K].</param>
/// <param name="DewPointC">Mean dew point, by month [°C].</param>
/// <param name="UnrestK">Standard deviation of the weather-to-weather temperature, by month [K].</param>
/// <param name="FrontsPerMonth">Fronts that cross, by month.</param>
/// <param name="FrontRainMm">Mean rain of a front that rains, by month [mm].</param>
/// <param name="StormChance">Chance of an afternoon storm on a day, by month [0–1].</param>
/// <param name="StormRainMm">Mean rain of such a storm [mm].</param>
/// <param name="CloudPercent">Mean cloud between fronts, by month [%].</param>
/// <param name="WindMS">Mean wind at 10 m [m/s].</param>
internal sealed record InventedClimate(
    double[] MeanC,
    double[] SwingK,
    double[] DewPointC,
    double[] UnrestK,
    double[] FrontsPerMonth,
    double[] FrontRainMm,
    double[] StormChance,
    double StormRainMm,
    double[] CloudPercent,
    double WindMS
)
{
    public static InventedClimate Desert { get; } =
        new(
            MeanC: [12, 14, 17.5, 21.5, 26.5, 31.5, 34, 33, 30, 23.5, 16.5, 11.5],
            SwingK: [15, 15.5, 16, 17, 17, 17, 14.5, 14, 15, 16, 16, 15],
            DewPointC: [1, 1, 1, 0, 2, 5, 15, 16, 11, 5, 2, 1],
            UnrestK: [3, 3, 3.2, 3, 2.8, 2.3, 1.8, 1.8, 2.2, 2.8, 3, 3],
            FrontsPerMonth: [3, 3, 3, 2, 1, 0.3, 0, 0, 0.7, 1.5, 2, 3],
            FrontRainMm: [7, 7, 6, 3, 2, 1, 1, 2, 5, 5, 6, 7],
            StormChance: [0, 0, 0, 0.01, 0.01, 0.02, 0.18, 0.2, 0.1, 0.03, 0, 0],
            StormRainMm: 7,
            CloudPercent: [30, 30, 28, 22, 16, 10, 28, 26, 18, 18, 22, 30],
            WindMS: 2.6
        );

    public static InventedClimate HumidSouth { get; } =
        new(
            MeanC: [5, 6.5, 11, 15.5, 20, 24, 26, 25.5, 22, 16, 10.5, 6],
            SwingK: [11.5, 12, 13, 13.5, 12.5, 11.5, 11, 11, 11.5, 13, 13, 11.5],
            DewPointC: [-1, 0, 3, 8, 14, 18.5, 20.5, 20.5, 17, 10.5, 4, 0],
            UnrestK: [4.2, 4.2, 4, 3.4, 2.8, 2, 1.6, 1.6, 2.2, 3, 3.8, 4.2],
            FrontsPerMonth: [7, 7, 7.5, 6, 5, 3, 2, 2.5, 3.5, 4, 5.5, 7],
            FrontRainMm: [14, 14, 14, 13, 14, 14, 14, 16, 18, 14, 13, 14],
            StormChance: [0, 0.01, 0.03, 0.06, 0.13, 0.22, 0.28, 0.25, 0.13, 0.03, 0.01, 0],
            StormRainMm: 11,
            CloudPercent: [45, 44, 42, 38, 40, 40, 42, 40, 38, 32, 38, 45],
            WindMS: 2.9
        );

    public static InventedClimate North { get; } =
        new(
            MeanC: [-9, -6.5, 0, 7.5, 14, 19.3, 21.8, 20.5, 16, 9, 1, -6.5],
            SwingK: [9, 10, 10, 12, 12.5, 12, 12, 12, 12.5, 11.5, 8.5, 8],
            DewPointC: [-13, -11, -5.5, 0, 7.5, 13.5, 16, 15.5, 11, 4, -3.5, -10],
            UnrestK: [6, 5.5, 5, 4.5, 4, 3, 2.4, 2.4, 3.4, 4, 4.5, 5.5],
            FrontsPerMonth: [6, 6, 7, 7, 7, 6, 5, 5, 6, 6, 6, 6],
            FrontRainMm: [4, 4, 7, 9, 11, 13, 13, 13, 11, 9, 6, 4],
            StormChance: [0, 0, 0.01, 0.03, 0.08, 0.14, 0.14, 0.13, 0.06, 0.02, 0, 0],
            StormRainMm: 11,
            CloudPercent: [55, 52, 50, 46, 44, 42, 36, 36, 40, 45, 58, 60],
            WindMS: 4.2
        );

    /// <summary>The value of a monthly table on a day of the year, without steps at the ends of months.</summary>
    public static double On(double[] monthly, double dayOfYear)
    {
        var month = (dayOfYear - 15.2) / 30.4375;
        var low = (int)Math.Floor(month);
        var share = month - low;
        return monthly[(low + 12) % 12] * (1 - share) + monthly[(low + 13) % 12] * share;
    }
}
