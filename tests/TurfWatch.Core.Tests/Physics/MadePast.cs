using NodaTime;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>Past years of our own making: one wave a year, each year as much warmer or colder as it is told.</summary>
internal static class MadePast
{
    public static readonly DateTimeZone Zone = DateTimeZoneProviders.Tzdb["America/Chicago"];

    public static PastYears Years(
        int first,
        int last,
        Func<int, double> warmerK,
        double meanC = 15,
        double amplitudeK = 12
    ) =>
        new([
            .. MadeClimate
                .Days(first, last, d => MadeOutlook.AirC(d, meanC + warmerK(d.Year), amplitudeK))
                .Select(d =>
                    d with
                    {
                        DewPointC = d.MinC - 1,
                        WindMS = 3,
                        ShortwaveMJM2 =
                            15 + (8 * Math.Cos(2 * Math.PI * (d.Date.DayOfYear - 172) / 365)),
                    }
                ),
        ]);
}
