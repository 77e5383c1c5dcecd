namespace TurfWatch.Core.Advice;

/// <summary>
/// Where the past weather does not reach back far enough, the water in the soil is what the model
/// was started with, not what it found. Then it is a number that nobody knows.
/// </summary>
/// <remarks>
/// Both spans are judgement. Water above field capacity drains within two to three days (FAO-56, Allen et
/// al. 1998, ch. 8: the field capacity of a soil is what it holds after that), so four known days tell
/// whether the top is soft. A lawn that nobody waters empties or fills its root zone within weeks.
/// </remarks>
public static class KnownSoil
{
    /// <summary>Known days of past weather from which the water of the root zone is told.</summary>
    public const int RootZoneDays = 30;

    /// <summary>Known days of past weather from which the wetness of the top 5 cm is told.</summary>
    public const int SurfaceDays = 4;

    /// <summary>Days of past weather behind the soil, without those that were bridged.</summary>
    public static double Days(SiteConditions site) => site.SpinUpDays * site.HistoryCoverage;

    /// <summary>The conditions, with the soil water missing where it is only a starting guess.</summary>
    public static SiteConditions Only(SiteConditions site)
    {
        var days = Days(site);
        return days >= RootZoneDays
            ? site
            : site with
            {
                AvailableWaterFraction = Unknown(site.AvailableWaterFraction.Length),
                SurfaceSoilWetness =
                    days >= SurfaceDays
                        ? site.SurfaceSoilWetness
                        : Unknown(site.SurfaceSoilWetness.Length),
            };
    }

    private static double[] Unknown(int count)
    {
        var column = new double[count];
        Array.Fill(column, double.NaN);
        return column;
    }
}
